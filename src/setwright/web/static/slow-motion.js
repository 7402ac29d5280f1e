// A closing in slow motion: a press plays it, the scrubber steps by 0.1 ms; without script the still pictures stand alone.
const SLOWER = 500;
const STEP = 0.1; // ms

// One drawing: where every part stands at a time, from the course that came with it.
class Trap {
  constructor(group) {
    this.end = Number(group.dataset.end);
    this.ahead = group.dataset.ahead === "" ? Infinity : Number(group.dataset.ahead);
    this.middle = Number(group.dataset.middle);
    for (const part of ["loose", "dogged", "loop"]) this[part] = group.dataset[part].split(" ").map(Number);
    const parts = (name) => [...group.querySelectorAll(`[data-part=${name}]`)];
    this.jaws = [["loose", parts("loose")[0]], ["dogged", parts("dogged")[0]]];
    this.loops = parts("loop");
    this.levers = parts("levers").map((one) => [one, Number(one.dataset.pivot)]);
    this.trigger = parts("trigger")[0];
    this.said = parts("said")[0];
    this.held = true;
    this.words = "";
  }

  show(time) {
    const last = this.loop.length - 1;
    const at = Math.min(time, this.end);
    const step = Math.min(Math.floor(at / STEP + 1e-9), last - 1);
    const width = Math.min(this.end - step * STEP, STEP);
    const share = width > 0 ? Math.min((at - step * STEP) / width, 1) : 1;
    const between = (values) => values[step] + share * (values[step + 1] - values[step]);
    const angles = {};
    for (const [name, jaw] of this.jaws) {
      angles[name] = between(this[name]);
      jaw.setAttribute("transform", `rotate(${-angles[name]})`);
    }
    const lift = between(this.loop);
    for (const one of this.loops) one.setAttribute("transform", `translate(0 ${lift})`);
    for (const [one, pivot] of this.levers) {
      one.setAttribute("transform", `translate(0 ${pivot}) scale(1 ${this.middle + lift - pivot})`);
    }
    const held = time <= 0;
    if (held !== this.held) {
      this.trigger.setAttribute("visibility", held ? "inherit" : "hidden");
      this.held = held;
    }
    let words = "set";
    if (time >= this.end) words = `closed at ${this.end.toFixed(1)} ms`;
    else if (!held) {
      words = `${angles.loose.toFixed(0)}° and ${angles.dogged.toFixed(0)}°${time >= this.ahead ? ", ahead of the loop" : ""}`;
    }
    if (words !== this.words) this.said.textContent = this.words = words;
  }
}

class SlowMotion extends HTMLElement {
  connectedCallback() {
    if (this.traps || matchMedia("(prefers-reduced-motion: reduce)").matches) return;
    this.traps = [...this.querySelectorAll(".moving")].map((group) => new Trap(group));
    this.end = Number(this.dataset.end);
    this.button = this.querySelector("button");
    this.scrubber = this.querySelector("input");
    this.clock = this.querySelector(".time");
    this.request = 0;
    this.button.addEventListener("click", () => (this.request ? this.stop() : this.play()));
    this.scrubber.addEventListener("input", () => {
      this.stop();
      this.show(Number(this.scrubber.value));
    });
    this.hidden = false;
    this.show(0);
  }

  disconnectedCallback() {
    if (this.request) this.stop();
  }

  show(time) {
    this.time = Math.min(time, this.end);
    for (const trap of this.traps) trap.show(this.time);
    const words = `${this.time.toFixed(1)} ms`;
    if (words === this.clock.textContent && this.shown) return;
    this.shown = true;
    this.clock.textContent = words;
    this.scrubber.value = this.time.toFixed(1);
    this.scrubber.setAttribute("aria-valuetext", words);
  }

  play() {
    const from = this.time >= this.end ? 0 : this.time;
    let begun = null;
    this.button.textContent = "Stop";
    const next = (now) => {
      begun ??= now;
      const time = from + (now - begun) / SLOWER;
      this.show(time);
      if (time < this.end) this.request = requestAnimationFrame(next);
      else this.stop();
    };
    this.request = requestAnimationFrame(next);
  }

  stop() {
    cancelAnimationFrame(this.request);
    this.request = 0;
    this.button.textContent = "Play";
  }
}

customElements.define("slow-motion", SlowMotion);
