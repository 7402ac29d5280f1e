// Arrow keys turn the slides; the links do the same without this.
const go = (rel) => document.querySelector(`.turn a[rel=${rel}]`)?.click();
const turns = {
  ArrowRight: () => go("next"), PageDown: () => go("next"), ArrowLeft: () => go("prev"), PageUp: () => go("prev"),
  Escape: () => document.querySelector(".turn .leave").click(),
};

document.addEventListener("keydown", (event) => {
  // Whoever moves a scrubber or chooses a value means that, not the next slide.
  if (event.target.closest("input, select, textarea, button") || event.altKey || event.ctrlKey || event.metaKey) return;
  const turn = turns[event.key];
  if (turn) {
    event.preventDefault();
    turn();
  }
});
