package browsertest

// Faults measures the page as it stands: nothing may make it scroll sideways, and in each drawing no text
// may reach outside or lie over another.
func (tab *Tab) Faults() []string {
	tab.t.Helper()
	return Eval[[]string](tab, faults)
}

// A pixel and a half of slack: boxes of text are larger than their letters.
const faults = `(() => {
  const slack = 1.5, found = [];
  const page = document.documentElement;
  if (page.scrollWidth > page.clientWidth) {
    const wide = [...document.body.querySelectorAll("*")].filter((e) => !e.closest(".scroll, pre, svg") &&
      e.getBoundingClientRect().right > page.clientWidth + 0.5);
    found.push("the page is " + page.scrollWidth + " px wide in " + page.clientWidth + " px: " +
      wide.slice(-3).map((e) => e.tagName + "." + (e.getAttribute("class") || "")).join(", "));
  }
  for (const svg of document.querySelectorAll("svg.drawing")) {
    if (svg.getClientRects().length === 0) continue;
    const outer = svg.getBoundingClientRect();
    const name = (svg.closest("figure") || svg).id + " (" + svg.getAttribute("class") + ")";
    const texts = [...svg.querySelectorAll("text")].filter((t) => t.getClientRects().length > 0)
      .map((t) => ({ text: t.textContent, box: t.getBoundingClientRect() }));
    texts.forEach(({ text, box }, i) => {
      if (box.left < outer.left - slack || box.right > outer.right + slack ||
          box.top < outer.top - slack || box.bottom > outer.bottom + slack)
        found.push(name + ": " + JSON.stringify(text) + " reaches outside");
      for (const other of texts.slice(i + 1)) {
        const across = Math.min(box.right, other.box.right) - Math.max(box.left, other.box.left);
        const down = Math.min(box.bottom, other.box.bottom) - Math.max(box.top, other.box.top);
        if (across > slack && down > slack + 2)
          found.push(name + ": " + JSON.stringify(text) + " lies over " + JSON.stringify(other.text));
      }
    });
  }
  return found;
})()`
