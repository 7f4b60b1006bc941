// The switch for a reader's own truck. The rest (form.js) comes when it is turned, or a link brings a truck. The page as
// it was sent is kept for it: this file comes first.
"use strict";

(function () {
  const at = document.currentScript, folder = new URL(".", at.src), sent = document.body.cloneNode(true), shown = [];
  for (let walker = document.createTreeWalker(document.body), node = document.body; node; node = walker.nextNode()) shown.push(node);
  const place = `turnplate-yours ${folder.pathname}${at.dataset.notebook}`;
  const button = Object.assign(document.createElement("button"), { type: "button", className: "units", textContent: "My truck" });
  let form = null, on = null;

  function load(file) {
    return new Promise((onload, onerror) => {
      document.head.append(Object.assign(document.createElement("script"), { src: folder + file, onload, onerror }));
    });
  }

  function open(what, link) {
    form ||= load("form.js").then(() => turnplateForm({ ...at.dataset, folder, load, sent, shown, place, button }));
    form.then((f) => f[what](link));
  }

  function linked() {
    const link = /^#view&/.test(location.hash) && new URLSearchParams(location.hash).get("yours");
    if (link) open("visit", link);
    return link;
  }

  button.onclick = () => open("toggle");
  button.setAttribute("aria-pressed", "false");
  document.querySelector(".bar .within").append(button);
  addEventListener("hashchange", linked);
  try { on = localStorage.getItem(place + " on"); } catch { /* not kept here */ }
  if (!linked() && on) open("show");
})();
