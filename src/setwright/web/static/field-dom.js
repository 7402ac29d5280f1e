// Builds what is shown. Text always goes in as text, so that no name can be read as markup.

export function el(name, given = {}, ...inside) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(given)) {
    if (value === null || value === undefined || value === false) continue;
    if (key === "on") for (const [what, act] of Object.entries(value)) made.addEventListener(what, act);
    else if (key === "value") made.value = value;
    else made.setAttribute(key, value === true ? "" : value);
  }
  made.append(...inside.flat(3).filter((part) => part !== null && part !== undefined && part !== false && part !== ""));
  return made;
}

const SHAPES = {
  sound: "sound", thin: "thin", fails: "fails", meets: "meets", breaks: "breaks",
};

const SVG = "http://www.w3.org/2000/svg";

// A mark with its word; `law` says which of the two open shapes stands for "cannot tell".
export function mark(word, law = false) {
  const drawn = document.createElementNS(SVG, "svg");
  drawn.setAttribute("class", "mk");
  drawn.setAttribute("viewBox", "0 0 24 16");
  drawn.setAttribute("aria-hidden", "true");
  const used = document.createElementNS(SVG, "use");
  used.setAttribute("href", "#" + (SHAPES[word] || (law ? "untold" : "unknown")));
  drawn.append(used);
  return el("span", { class: "ans" }, drawn, el("span", {}, word));
}

export function drawing(text, words) {
  const read = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  if (read.nodeName !== "svg") return null;
  const drawn = document.importNode(read, true);
  drawn.setAttribute("role", "img");
  drawn.setAttribute("aria-label", words);
  return el("figure", {}, drawn);
}

// An answer to a question: high enough for a thumb in a glove.
export function answer(words, small, act, given = {}) {
  return el("button", { type: "button", class: "pick", on: { click: act }, ...given }, el("span", {}, words, small ? el("small", {}, small) : null));
}

export function question(number, words, options, given = {}) {
  return el("section", { class: "ask", "aria-label": words, ...given },
    el("h2", {}, number ? el("i", {}, number) : null, words), el("div", { class: "opts" }, options));
}

// A question that was answered: one line, with the way back.
export function answered(number, words, said, again) {
  return el("section", { class: "told", "aria-label": words },
    el("p", {}, number ? el("i", {}, number) : null, el("span", {}, words, ": ", el("b", {}, said))),
    el("button", { type: "button", class: "again", on: { click: again }, "aria-label": `Change: ${words}` }, "change"));
}

export function say(words) {
  document.getElementById("spoken").textContent = words;
}

export function aside(head, words, classes = "said") {
  return el("section", { class: classes }, head ? el("h2", {}, head) : null, [words].flat().map((text) => (text instanceof Node ? text : el("p", {}, text))));
}
