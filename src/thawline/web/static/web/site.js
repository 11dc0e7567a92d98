// Starts what a page needs. Without script every page still reads, and its first button works.
import { keepLive } from "./live.js";
import { mintIds } from "./ids.js";
import { lockWhenLeft } from "./lock.js";
import { ownWorker } from "./own.js";

mintIds();
keepLive();
lockWhenLeft();
if ("serviceWorker" in navigator) navigator.serviceWorker.register(ownWorker(), { type: "module" });
