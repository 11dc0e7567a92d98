// A button that opens the browser's own print window; without script the browser's menu does it.

/** Show the buttons that print, now and in whatever is exchanged later. */
export function offerPrint() {
  document.documentElement.dataset.prints = "yes";
  document.addEventListener("click", (event) => {
    if (event.target.closest?.("[data-print]")) print();
  });
}
