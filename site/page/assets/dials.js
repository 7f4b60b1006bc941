// The sliders of a page. Every position comes with the page;
// this file puts the chosen ones in place. Without it the page shows where the dials start.
"use strict";

(function () {
  const wishes = new Map(); // where dials stood, by label
  let data = null, at = [];

  function units() { return document.documentElement.dataset.units === "us" ? "us" : "metric"; }

  // A part's elements are noted before anything else is added to it.
  function begin(part) {
    const root = document.getElementById(part.id);
    part.nodes = root ? [root, ...root.querySelectorAll("*")] : null;
    part.shown = part.dials.reduce((i, d) => i * data.dials[d].metric.length + data.dials[d].start, 0);
    part.replaced = false;
  }

  function replace(part, html) {
    const box = document.createElement("template");
    box.innerHTML = html;
    const fresh = box.content.firstElementChild;
    part.nodes[0].replaceWith(fresh);
    part.nodes = [fresh, ...fresh.querySelectorAll("*")];
  }

  function show(part) {
    if (!part.nodes) return;
    const k = part.dials.reduce((i, d) => i * data.dials[d].metric.length + at[d], 0);
    if (k === part.shown) return;
    part.shown = k;
    const values = part.values[k];
    if (!values) {
      replace(part, part.whole[k]);
      part.replaced = true;
    } else {
      if (part.replaced) replace(part, part.start);
      part.replaced = false;
      part.slots.forEach((slot, i) => {
        const [element, name] = slot.split(" "), node = part.nodes[element], text = data.words[values[i]];
        if (/^\d+$/.test(name)) node.childNodes[name].data = text;
        else if (node.getAttribute(name) !== text) node.setAttribute(name, text);
      });
    }
    document.dispatchEvent(new CustomEvent("turnplate-changed", { detail: [part.nodes[0]] }));
  }

  function turn(dial, position) {
    at[dial] = position;
    const { label, metric, us } = data.dials[dial];
    if (metric.length > 1) wishes.set(label, metric[position]); // else it stands still
    for (const control of document.querySelectorAll(`.dial[data-dial="${dial}"]`)) {
      control.querySelector(".in-metric").textContent = metric[position];
      control.querySelector(".in-us").textContent = us[position];
      const slider = control.querySelector("input");
      stepsOf(control).forEach((step, i) => i === position ? step.setAttribute("aria-current", "step") : step.removeAttribute("aria-current"));
      slider.value = position;
      slider.setAttribute("aria-valuetext", data.dials[dial][units()][position]);
    }
    data.parts.filter((p) => p.dials.includes(dial)).forEach(show);
  }

  // The steps of a slider's walk.
  function stepsOf(control) { return [...control.closest(".walk")?.querySelectorAll(":scope > ol > li") || []]; }

  // A walk's figure shows the step that its reader has reached. Where less motion is asked for only its slider moves it.
  function walk(control) {
    const dial = Number(control.dataset.dial), steps = stepsOf(control), stays = control.closest(".walk").querySelector(".picture");
    if (steps.length !== data.dials[dial].metric.length || matchMedia("(prefers-reduced-motion: reduce)").matches) return;
    control.closest(".walk").classList.add("walking");
    let reached = at[dial];
    addEventListener("scroll", () => {
      const box = stays.getBoundingClientRect(), above = box.width > innerWidth * 0.6 ? Math.min(box.bottom, innerHeight * 0.6) : 0;
      const now = Math.max(0, steps.findLastIndex((s) => s.getBoundingClientRect().top < above + (innerHeight - above) * 0.4));
      if (now !== reached && stays.isConnected) turn(dial, now);
      reached = now;
    }, { passive: true });
  }

  // A pose and the curves over its axis share one cursor.
  function share(dial) {
    const key = data.dials[dial].along;
    if (key) document.dispatchEvent(new CustomEvent("turnplate-along", { detail: { key, index: at[dial], from: data } }));
  }

  function slider(control) {
    const dial = Number(control.dataset.dial), known = control.querySelector("input");
    const input = known || document.createElement("input");
    Object.assign(input, { type: "range", min: 0, max: data.dials[dial].metric.length - 1, step: 1 });
    input.setAttribute("aria-label", data.dials[dial].label);
    if (known) return;
    input.addEventListener("input", () => {
      turn(Number(control.dataset.dial), Number(input.value));
      share(Number(control.dataset.dial));
    });
    control.insertBefore(input, control.querySelector("output"));
    if (control.closest(".walk")) walk(control);
    else if (data.dials[dial].along) player(control);
  }

  // Runs a pose to and fro, unless less motion is asked for.
  function player(control) {
    if (matchMedia("(prefers-reduced-motion: reduce)").matches) return;
    const button = Object.assign(document.createElement("button"), { type: "button", className: "play", ariaLabel: "Play" });
    let timer = 0;
    function stop() {
      clearInterval(timer);
      timer = 0;
      button.classList.remove("on");
      button.ariaLabel = "Play";
    }
    button.addEventListener("click", () => {
      if (timer) return stop();
      const dial = Number(control.dataset.dial), from = at[dial], last = data.dials[dial].metric.length - 1;
      let way = 1, left = 2 * last;
      button.classList.add("on");
      button.ariaLabel = "Pause";
      timer = setInterval(() => {
        if (at[dial] === last) way = -1;
        if (at[dial] === 0) way = 1;
        turn(dial, left-- > 0 ? at[dial] + way : from);
        share(dial);
        if (left < 0) stop();
      }, 60);
    });
    control.querySelector("input").addEventListener("input", stop);
    document.addEventListener("turnplate-rebuilt", stop);
    control.append(button);
  }

  document.addEventListener("turnplate-along", (event) => {
    const { key, index, from } = event.detail;
    if (from !== data && data && index >= 0) data.dials.forEach((d, i) => d.along === key && turn(i, index));
  });

  function start() {
    const script = document.getElementById("positions");
    if (!script) return;
    data = JSON.parse(script.textContent);
    data.parts.forEach(begin);
    at = data.dials.map((d) => d.start);
    document.querySelectorAll(".dial").forEach(slider);
    // A page that changes leaves each dial where its reader had turned it, if it can.
    const last = [...document.querySelectorAll(".lead .dial")].pop() || document.querySelector(".dial");
    if (last && !document.querySelector(".dial .view")) {
      last.append(Object.assign(document.createElement("button"), { type: "button", className: "view", textContent: "Copy this view" }));
    }
    data.dials.forEach((d, i) => {
      const kept = d.metric.indexOf(wishes.get(d.label));
      turn(i, kept < 0 ? d.start : kept);
    });
  }

  // A link says where dials stand: "#view&Caster=4°". The others stand where the page starts.
  function linked() {
    if (!data || !/^#view&/.test(location.hash)) return;
    const view = new URLSearchParams(location.hash);
    data.dials.forEach((d, i) => {
      const wish = d.metric.indexOf(view.get(d.label));
      turn(i, wish < 0 ? d.start : wish);
      if (wish >= 0) share(i);
    });
  }

  document.addEventListener("turnplate-view", (event) => {
    if (data) data.dials.forEach((d, i) => at[i] !== d.start && event.detail.append(d.label, d.metric[at[i]]));
  });

  // A screen reader says what sliders stand at in the units on show.
  document.addEventListener("turnplate-units", () => {
    for (const input of document.querySelectorAll(".dial input")) {
      const dial = Number(input.closest(".dial").dataset.dial);
      input.setAttribute("aria-valuetext", data.dials[dial][units()][at[dial]]);
    }
  });
  document.addEventListener("turnplate-rebuilt", start);
  addEventListener("hashchange", linked);
  start();
  linked();
})();
