// The form for a reader's own truck, and the page that is worked out for it. What the reader gives is kept as text in
// this browser, under the site's own place, and goes nowhere else; the program beside the page (engine.js) reads it,
// makes the form and the page.
"use strict";

// folder is the site's own, from which load brings scripts; page, notebook and name say what is on show, sent and shown are
// it as exchange.js wants it; place names what is kept; button is the switch in the page's head.
function turnplateForm({ folder, load, page, notebook, name, sent, shown, place, button }) {
  const root = document.documentElement, title = document.title, own = sent.cloneNode(true);
  const element = (name, properties) => Object.assign(document.createElement(name), properties);
  const panel = element("section", { className: "yours-panel", ariaLabel: "Your truck" });
  const status = element("p", { role: "status" }), bar = element("progress", { max: 1, value: 0, ariaLabel: "Getting ready" });
  const values = element("button", { type: "button", textContent: "Change values", ariaExpanded: "false" });
  const keep = element("button", { type: "button", textContent: "Keep these as mine", hidden: true });
  const head = element("div", { className: "yours-head" }), body = element("div", { className: "yours-body", hidden: true });
  let on = false, visiting = false, text = read() || "", answer = {}, busy = Promise.resolve(), exchange = null, engine = null;

  head.append(status, bar, keep, values);
  panel.append(head, body);
  document.head.append(element("link", { rel: "stylesheet", href: folder + "form.css" }));

  function read() {
    try { return localStorage.getItem(place); } catch { return ""; }
  }

  // Starts what works the page out, once.
  function begin() {
    engine ||= Promise.all([load("exchange.js"), load("engine.js")]).then(() => {
      const told = (share) => { bar.value = share; };
      exchange ||= turnplateExchange(sent, shown);
      return turnplateEngine({ folder, load, told, exchange, page, notebook, name });
    });
    engine.catch(() => { engine = null; });
    return engine;
  }

  // A visitor's values, which came with a link, aren't the reader's until they say so.
  function store() {
    if (visiting) return;
    try {
      localStorage.setItem(place, text);
      if (on) localStorage.setItem(place + " on", "yes");
      else localStorage.removeItem(place + " on");
    } catch { /* for this page only, then */ }
  }

  function unfold(open) {
    body.hidden = !open;
    values.ariaExpanded = String(open);
    values.textContent = open ? "Fold the values away" : "Change values";
  }

  const boxes = () => [...body.querySelectorAll("input:not([type=file]), select")];
  const nameOf = (box) => box.dataset.path || box.dataset.printout;

  // What finds the same again in a newer form.
  function selectorOf(e) {
    const by = ["path", "printout", "do"].find((name) => e.dataset[name]);
    if (by) return `[data-${by}="${e.dataset[by]}"]`;
    return e.matches("summary") ? `#${e.parentElement.id} > summary` : ".view";
  }

  // Puts a newer form in place. What is folded out, typed and not yet taken, and where the reader stands, stays.
  function renew(html, done) {
    const open = new Set([...body.querySelectorAll("details[open]")].map((d) => d.id)), first = !body.firstChild;
    const typed = new Map(boxes().filter((b) => !b.matches("select") && b.value !== b.defaultValue).map((b) => [nameOf(b), b.value]));
    const at = body.contains(document.activeElement) && document.activeElement;
    const here = at && { is: selectorOf(at), from: at.selectionStart, to: at.selectionEnd };
    body.innerHTML = html;
    if (!first) for (const d of body.querySelectorAll("details")) d.open = open.has(d.id) || !!d.querySelector(".yours-field .yours-notes");
    for (const b of boxes()) {
      const name = nameOf(b);
      const taken = done.Do === "clear" || (b.dataset.printout ? done.Do === "printout" : name === done.Path && typed.get(name) === done.Text);
      if (typed.has(name) && !taken) b.value = typed.get(name);
    }
    const now = here && body.querySelector(here.is);
    if (!now) return;
    now.focus({ preventScroll: true });
    if (now.matches("input:not([type=file])")) now.setSelectionRange(here.from, here.to);
  }

  // Changes the panel, and keeps what the reader is at where it is on the screen.
  function steadily(change) {
    const top = () => body.contains(document.activeElement) && document.activeElement.getBoundingClientRect().top;
    const before = top();
    change();
    const now = top();
    if (before !== false && now !== false) scrollBy({ top: now - before, behavior: "instant" });
  }

  // Everything that a reader does goes this way, one after another: the program takes it, and the page follows.
  function act(command) {
    return busy = busy.then(() => work(command)).catch((error) => {
      status.textContent = `Your truck can’t be shown here: ${error.message || "a part of this site can’t be loaded"}. The page is as it was.`;
      bar.hidden = true;
      mark(false);
    });
  }

  async function work(command) {
    if (!on) {
      if (engine) (await engine).leave();
      if (exchange) exchange(own.cloneNode(true));
      bar.hidden = true;
      return mark(false);
    }
    steadily(() => { bar.hidden = false; });
    status.textContent ||= "Getting ready. The first time takes a while.";
    const program = await begin();
    bar.removeAttribute("value"); // how long the rest takes isn't known
    bar.ariaLabel = "Working it out";
    const request = { Changes: text, Command: { ...command, US: root.dataset.units === "us" } };
    // What takes a while is said, and so what came of it is told anew by whatever reads the page out.
    const patience = setTimeout(() => steadily(() => { status.textContent = bar.ariaLabel + "."; }), 500);
    const heard = (answer) => {
      clearTimeout(patience);
      steadily(() => tell(answer, command));
      if (answer.form) command = {}; // what is typed from here on isn't taken by a later answer
    };
    if (text || command.Do) return program.show(request, heard).finally(() => clearTimeout(patience));
    heard(await program.ask({ Do: "form", ...request })); // the page is right as it is
    program.warm();
  }

  // The page says so while a part of it, or the form, is yet to come.
  function tell(now, command) {
    if (now.stops && !now.form) throw new Error(now.stops);
    bar.hidden = !now.later;
    answer = now;
    text = now.changes;
    if (now.form) renew(now.form, command);
    if (!now.stops) mark(text !== ""); // else the page is as it was
    const says = (visiting ? "These values came with a link. " : "") + now.says;
    if (status.textContent !== says) status.textContent = says; // said once, where it is read out
    keep.hidden = !visiting;
    store();
  }

  // The page says whose truck it shows, at its head, beside every figure, and in its title.
  function mark(yours) {
    root.toggleAttribute("data-yours", yours);
    document.title = yours ? "Your truck: " + title : title;
  }

  function turn(to) {
    on = to;
    button.setAttribute("aria-pressed", String(on));
    if (on) document.querySelector(".bar").after(panel);
    else panel.remove();
    if (on && !text) unfold(true);
    return act({}).then(store);
  }

  function save() {
    const url = URL.createObjectURL(new Blob([answer.saved], { type: "text/markdown" }));
    element("a", { href: url, download: "my-truck.md" }).click();
    setTimeout(() => URL.revokeObjectURL(url), 1000);
  }

  async function take(file) {
    if (file) act({ Do: "file", File: file.name, Text: await file.text() });
  }

  body.addEventListener("change", ({ target }) => {
    if (target.type === "file") take(target.files[0]);
    else if (target.dataset.path) act({ Do: "set", Path: target.dataset.path, Text: target.value });
  });
  body.addEventListener("click", ({ target }) => {
    switch (target.dataset.do) {
      case "save": return save();
      case "clear": return act({ Do: "clear" });
      case "printout":
        return act({ Do: "printout", Values: Object.fromEntries(boxes().filter((b) => b.dataset.printout).map((b) => [b.dataset.printout, b.value])) });
    }
  });
  body.addEventListener("dragover", (event) => event.preventDefault());
  body.addEventListener("drop", (event) => {
    event.preventDefault();
    take(event.dataTransfer.files[0]);
  });
  values.addEventListener("click", () => unfold(body.hidden));
  panel.addEventListener("keydown", ({ key }) => {
    if (key !== "Escape" || body.hidden) return;
    unfold(false);
    values.focus();
  });
  keep.addEventListener("click", () => {
    visiting = false;
    keep.hidden = true;
    store();
    status.textContent = answer.says;
  });
  document.addEventListener("turnplate-units", () => on && act({}));
  document.addEventListener("turnplate-view", ({ detail }) => on && answer.link && detail.append("yours", answer.link));

  return {
    toggle() { return turn(!on); },
    show() { return turn(true); },
    visit(link) {
      visiting = true;
      text = "";
      on = true;
      document.querySelector(".bar").after(panel);
      button.setAttribute("aria-pressed", "true");
      return act({ Do: "link", Text: link });
    },
  };
}
