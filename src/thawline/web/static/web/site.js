// Starts what a page needs. Without script every page still reads, and its first button works.
import { showKept } from "./alone.js";
import { sayWord, showHolds } from "./holds.js";
import { keepLive } from "./live.js";
import { lockWhenLeft } from "./lock.js";
import { ownWorker } from "./own.js";
import { takePresses } from "./pressing.js";
import { offerPrint } from "./printing.js";
import { answerScans } from "./scan_answers.js";
import { learnScanner } from "./scanner_test.js";
import { ask, flush } from "./sending.js";
import { fitTables } from "./tables.js";

const EVERY_MS = 30000;

takePresses();
answerScans();
learnScanner();
keepLive();
lockWhenLeft();
fitTables();
offerPrint();
void showKept();
void ask().then(flush);
void showHolds();
void sayWord();
setInterval(() => void ask().then((heard) => heard && (flush(), sayWord())), EVERY_MS);
document.addEventListener("visibilitychange", () => void showHolds());
void navigator.storage?.persist?.();
if ("serviceWorker" in navigator) navigator.serviceWorker.register(ownWorker());
