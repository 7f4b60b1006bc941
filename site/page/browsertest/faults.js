// What is wrong with the layout of the page on show, as a list of sentences. The boxes of texts are larger than their
// letters, so a pixel and a half of slack is left.
(() => {
  const slack = 1.5, found = [];
  const page = document.documentElement;
  const shown = (e) => e.checkVisibility() && e.getClientRects().length > 0; // what is folded has boxes too
  const quote = (text) => JSON.stringify(text.trim().replace(/\s+/g, " ").slice(0, 60));
  if (page.scrollWidth > page.clientWidth) {
    const wide = [...document.body.querySelectorAll("*")].filter((e) => !e.closest(".scroll, pre, svg") &&
      e.getBoundingClientRect().right > page.clientWidth + 0.5);
    found.push("the page is " + page.scrollWidth + " px wide in " + page.clientWidth + " px: " +
      wide.slice(-3).map((e) => e.tagName + "." + (e.getAttribute("class") || "")).join(", "));
  }

  // What an element's ancestors let be seen of it.
  const windows = new Map();
  function seenThrough(e) {
    if (!e || e === document.body) return { left: -1e6, right: 1e6, top: -1e6, bottom: 1e6 };
    if (windows.has(e)) return windows.get(e);
    let w = seenThrough(e.parentElement);
    if (getComputedStyle(e).overflow !== "visible") {
      const b = e.getBoundingClientRect();
      w = { left: Math.max(w.left, b.left), right: Math.min(w.right, b.right), top: Math.max(w.top, b.top), bottom: Math.min(w.bottom, b.bottom) };
    }
    windows.set(e, w);
    return w;
  }

  // Texts of the page, line by line; letters fill the middle of a line's box.
  const lines = [];
  const see = (text, owner, rects) => {
    const box = owner.closest("td, th, .claim, .exercise, .cautions, .shop, .plate div, figcaption, .prose, aside, header, footer, body");
    const edge = box.getBoundingClientRect(), window = seenThrough(owner);
    for (const r of rects) {
      if (!owner.closest("pre, .equation") && (r.left < edge.left - slack || r.right > edge.right + slack))
        found.push(quote(text) + " reaches out of its " + box.tagName + "." + (box.getAttribute("class") || ""));
      const inset = r.height / 4;
      const seen = { text, owner, left: Math.max(r.left, window.left), right: Math.min(r.right, window.right),
        top: Math.max(r.top + inset, window.top), bottom: Math.min(r.bottom - inset, window.bottom) };
      if (seen.right > seen.left && seen.bottom > seen.top) lines.push(seen);
    }
  };
  const range = document.createRange();
  function read(e) {
    if (e.matches("script, .hidden, .skip, svg, .readout") || !e.checkVisibility()) return;
    if (e.matches("math")) return see(e.textContent, e, [e.getBoundingClientRect()]);
    for (const n of e.childNodes) {
      if (n.nodeType === Node.ELEMENT_NODE) read(n);
      else if (n.nodeType === Node.TEXT_NODE && n.data.trim() !== "") {
        range.selectNodeContents(n);
        see(n.data, e, range.getClientRects());
      }
    }
  }
  read(document.body);
  lines.sort((a, b) => a.top - b.top);
  lines.forEach((a, i) => {
    for (let k = i + 1; k < lines.length && lines[k].top < a.bottom - slack; k++) {
      const b = lines[k];
      if (Math.min(a.right, b.right) - Math.max(a.left, b.left) > slack && Math.min(a.bottom, b.bottom) - b.top > slack)
        found.push(quote(a.text) + " lies over " + quote(b.text));
    }
  });

  const drawn = [...document.querySelectorAll("svg.drawing")].filter(shown).map((svg) => (
    { svg, outer: svg.getBoundingClientRect(), name: (svg.closest("figure") || svg).id + " (" + svg.getAttribute("class") + ")" }));
  drawn.forEach(({ svg, outer, name }, place) => {
    for (const { outer: other, name: their } of drawn.slice(place + 1)) {
      if (Math.min(outer.right, other.right) - Math.max(outer.left, other.left) > slack &&
          Math.min(outer.bottom, other.bottom) - Math.max(outer.top, other.top) > slack)
        found.push(name + " lies over " + their);
    }
    const texts = [...svg.querySelectorAll("text")].filter(shown).map((t) => ({ text: t.textContent, box: t.getBoundingClientRect() }));
    texts.forEach(({ text, box }, i) => {
      if (box.left < outer.left - slack || box.right > outer.right + slack ||
          box.top < outer.top - slack || box.bottom > outer.bottom + slack)
        found.push(name + ": " + quote(text) + " reaches outside");
      for (const other of texts.slice(i + 1)) {
        const across = Math.min(box.right, other.box.right) - Math.max(box.left, other.box.left);
        const down = Math.min(box.bottom, other.box.bottom) - Math.max(box.top, other.box.top);
        if (across > slack && down > slack + 2)
          found.push(name + ": " + quote(text) + " lies over " + quote(other.text));
      }
    });
  });
  return found;
})()
