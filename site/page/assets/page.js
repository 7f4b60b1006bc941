// What a page can do with its reader: show the other system of units, and read values off the plots.
// Without this file a page still shows everything in its author's units, and the numbers stand in a table
// under each plot. It needs no other file, so it also works from a folder on a memory stick.
"use strict";

(function () {
  const root = document.documentElement;
  let readouts = [];

  function element(name, properties) { return Object.assign(document.createElement(name), properties); }

  // The reader's choice of units is kept where the browser allows it.
  function remembered() {
    try { return localStorage.getItem("turnplate-units"); } catch { return null; }
  }

  function remember(units) {
    try { localStorage.setItem("turnplate-units", units); } catch { /* this page only, then */ }
  }

  // Drawings are described in the units on show.
  function describe(part) {
    for (const svg of part.querySelectorAll("svg[aria-describedby]")) {
      const words = svg.getAttribute("aria-describedby").replace(/-us$/, "");
      const us = document.getElementById(words + "-us");
      svg.setAttribute("aria-describedby", root.dataset.units === "us" && us ? us.id : words);
    }
  }

  function showUnits(units) {
    root.dataset.units = units;
    describe(document);
    readouts.forEach((r) => r.clear());
    document.dispatchEvent(new Event("turnplate-units"));
  }

  function unitsSwitch() {
    const button = element("button", { type: "button", className: "units" });
    function show(units) {
      showUnits(units);
      button.textContent = units === "us" ? "Metric units" : "US units";
      button.ariaLabel = "Show " + button.textContent;
    }
    button.addEventListener("click", () => {
      const units = root.dataset.units === "us" ? "metric" : "us";
      show(units);
      remember(units);
    });
    show(["metric", "us"].includes(remembered()) ? remembered() : root.dataset.units);
    document.querySelector(".bar .within").append(button);
  }

  // A link to the page as it is on show: whatever can be moved says where it is.
  async function copyView(button) {
    const view = new URLSearchParams();
    document.dispatchEvent(new CustomEvent("turnplate-view", { detail: view }));
    const link = location.href.split("#")[0] + (String(view) && "#view&" + view);
    history.replaceState(null, "", link);
    const copied = await navigator.clipboard?.writeText(link).then(() => true, () => false);
    button.ariaLive = "polite";
    button.textContent = copied ? "Link copied" : "The address is the link";
    setTimeout(() => { button.textContent = "Copy this view"; }, 4000);
  }

  document.addEventListener("click", ({ target }) => target.matches("button.view") && copyView(target));

  // What the reader's units make of a list: one entry for both systems, or one for each.
  function own(list) { return list ? list[root.dataset.units === "us" ? list.length - 1 : 0] : ""; }

  // A number as the axes print it: true minus sign, thousands set apart, a fixed number of decimals.
  function print(value, axis) {
    const unit = own(axis.in);
    const [whole, fraction] = Math.abs(value / unit.size).toFixed(unit.places).split(".");
    const grouped = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, "\u202f") : whole;
    const text = fraction ? grouped + "." + fraction : grouped;
    return (value < 0 && /[1-9]/.test(text) ? "\u2212" : "") + text + unit.symbol;
  }

  // Index of the value nearest to x in a rising list.
  function nearest(list, x) {
    let low = 0, high = list.length - 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (list[middle] < x) low = middle + 1;
      else high = middle;
    }
    return low > 0 && x - list[low - 1] < list[low] - x ? low - 1 : low;
  }

  class Readout {
    constructor(picture, data) {
      this.picture = picture;
      this.data = data;
      this.plot = 0;
      this.x = null;
      this.marks = [];
      this.box = element("div", { className: "readout", ariaLive: "polite", hidden: true });
      picture.append(this.box);
      Object.assign(picture, { tabIndex: 0, role: "group", ariaLabel: "Plot. Arrow keys read values off it." });
      picture.addEventListener("pointermove", (e) => this.point(e));
      picture.addEventListener("pointerdown", (e) => this.point(e));
      picture.addEventListener("pointerleave", () => this.leave());
      picture.addEventListener("keydown", (e) => this.key(e));
      picture.addEventListener("blur", () => this.leave());
    }

    // The value of x at each point of the axis that the plot runs over, if it shares one.
    places() {
      const { along, places, plots } = this.data;
      return along ? places || plots[0].lines[0].x : [];
    }

    // Another figure's cursor, or a pose, stands at a point of the same axis.
    follow(index) {
      const svg = this.drawing(), x = this.places()[index];
      this.clear();
      if (!svg || x === undefined || x === null) return;
      this.areas(svg).forEach(([, top, , height], plot) => {
        const [px] = this.position(svg, plot, x, 0);
        this.mark(svg, "path", { class: "hair", d: `M${px} ${top}V${top + height}` });
      });
    }

    // The drawing on show: the wide or the narrow one.
    drawing() {
      return [...this.picture.querySelectorAll("svg.drawing")].find((s) => s.getClientRects().length > 0);
    }

    areas(svg) {
      return svg.classList.contains("narrow") ? this.data.narrow : this.data.wide;
    }

    point(event) {
      const svg = this.drawing();
      if (!svg) return;
      const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
      const slack = 8;
      const plot = this.areas(svg).findIndex(([left, top, width, height]) =>
        at.x >= left - slack && at.x <= left + width + slack && at.y >= top - slack && at.y <= top + height + slack);
      if (plot < 0) return this.leave();
      const [left, top, width, height] = this.areas(svg)[plot];
      const share = (part, [from, to]) => from + part * (to - from);
      this.show(svg, plot, share((at.x - left) / width, this.data.x.range), share(1 - (at.y - top) / height, this.data.y.range));
    }

    // Where a pair of values stands on the drawing.
    position(svg, plot, x, y) {
      const [left, top, width, height] = this.areas(svg)[plot];
      const share = (value, [from, to]) => (value - from) / (to - from);
      return [left + width * share(x, this.data.x.range), top + height * (1 - share(y, this.data.y.range))];
    }

    // Every x of a plot at which something was calculated or measured.
    stops(plot) {
      const { lines, points = [], stops } = this.data.plots[plot];
      if (stops) return stops;
      const all = new Set([...lines, ...points].flatMap((list) => list.x));
      return (this.data.plots[plot].stops = [...all].sort((a, b) => a - b));
    }

    key(event) {
      const stops = this.stops(this.plot);
      if (stops.length === 0) return;
      const now = this.x === null ? -1 : nearest(stops, this.x);
      const last = stops.length - 1;
      const steps = { ArrowRight: now + 1, ArrowLeft: now < 0 ? last : now - 1, Home: 0, End: last,
        PageUp: now + 10, PageDown: now - 10 };
      const plots = { ArrowDown: 1, ArrowUp: -1 };
      if (event.key === "Escape") this.leave();
      else if (event.key in steps) this.show(this.drawing(), this.plot, stops[Math.min(Math.max(steps[event.key], 0), last)]);
      else if (event.key in plots && this.data.plots.length > 1) {
        const count = this.data.plots.length;
        this.show(this.drawing(), (this.plot + plots[event.key] + count) % count, this.x === null ? stops[0] : this.x);
      } else return;
      event.preventDefault();
    }

    clear() {
      this.marks.forEach((m) => m.remove());
      this.marks = [];
      this.box.hidden = true;
      this.x = null;
    }

    // The reader is done with this plot, and so with the marks on the others over its axis.
    leave() {
      const along = this.x !== null && this.data.along;
      this.clear();
      if (along) document.dispatchEvent(new CustomEvent("turnplate-along", { detail: { key: along, index: -1, from: this } }));
    }

    show(svg, plot, wish) {
      const stops = this.stops(plot);
      if (!svg || stops.length === 0) return this.clear();
      this.clear();
      this.plot = plot;
      this.x = stops[nearest(stops, wish)];
      const { x: across, y: up, plots } = this.data;
      const [left, top, width, height] = this.areas(svg)[plot];
      const [px] = this.position(svg, plot, this.x, 0);
      this.mark(svg, "path", { class: "hair", d: `M${px} ${top}V${top + height}` });
      const rows = [[own(plots[plot].title), across.label, print(this.x, across)]];
      for (const line of plots[plot].lines) {
        const texts = this.passes(line).map((read) => {
          const y = read(line.y), low = line.low ? read(line.low) : null;
          if (y === null) return "\u2013";
          this.mark(svg, "circle", { class: "at " + line.look, cx: px, cy: this.position(svg, plot, this.x, y)[1], r: 4 });
          return print(y, up) + (low === null ? "" : ` (${print(low, up)} to ${print(read(line.high), up)})`);
        });
        if (texts.length > 0) rows.push(["", line.label || up.label, [...new Set(texts)].join(" and "), line.look]);
      }
      for (const set of plots[plot].points || []) {
        set.x.forEach((x, i) => {
          if (x !== this.x) return;
          const error = set.error && set.error[i] !== null ? ` \u00b1 ${print(set.error[i], up)}` : "";
          rows.push([set.names[i], set.label, print(set.y[i], up) + error]);
        });
      }
      this.write(rows);
      this.place(svg, px, left, width, top);
      const places = this.places();
      if (places.length > 0) {
        const index = places.reduce((best, p, i) => Math.abs(p - this.x) < Math.abs(places[best] - this.x) ? i : best, 0);
        document.dispatchEvent(new CustomEvent("turnplate-along", { detail: { key: this.data.along, index, from: this } }));
      }
    }

    // Where a line passes x, each as a way to read its lists there: once, or more often where it turns back or closes.
    passes({ x }) {
      const at = [];
      x.forEach((to, i) => {
        const from = x[i - 1], part = (this.x - from) / (to - from);
        if (to === this.x) at.push((list) => list[i]);
        else if (part > 0 && part < 1 && from !== this.x) {
          at.push((list) => [list[i - 1], list[i]].includes(null) ? null : list[i - 1] + part * (list[i] - list[i - 1]));
        }
      });
      return at;
    }

    mark(svg, name, attributes) {
      const e = document.createElementNS(svg.namespaceURI, name);
      for (const key in attributes) e.setAttribute(key, attributes[key]);
      svg.append(e);
      this.marks.push(e);
    }

    write(rows) {
      this.box.replaceChildren(...rows.map(([title, label, value, look]) => {
        const row = element("p"), name = element("span"), number = element("b", { textContent: value });
        if (look) name.append(element("i", { className: look }));
        name.append([title, own(label)].filter(Boolean).join(", "));
        row.append(name, number);
        return row;
      }));
      this.box.hidden = false;
    }

    // The box stands on the side of the hair line that has more room; on a narrow screen, below the picture.
    place(svg, px, left, width, top) {
      const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
      const room = this.picture.clientWidth - this.box.offsetWidth;
      const narrow = room < this.picture.clientWidth / 2;
      const wish = px < left + width / 2 ? px * scale + 14 : px * scale - 14 - this.box.offsetWidth;
      this.box.style.left = (narrow ? 0 : Math.max(0, Math.min(room, wish))) + "px";
      this.box.style.top = narrow ? "100%" : Math.max(0, top * scale + 4) + "px";
    }
  }

  // A map is read at the points of its grid; the arrow keys walk over it.
  class MapReadout extends Readout {
    key(event) {
      const { x, y } = this.data.maps[this.plot], maps = this.data.maps.length;
      if (x.length === 0) return;
      const [i, j] = this.x === null ? [-1, 0] : [nearest(x, this.x), nearest(y, this.y)];
      const steps = { ArrowRight: [i + 1, j], ArrowLeft: [i - 1, j], ArrowUp: [i, j + 1], ArrowDown: [i, j - 1],
        Home: [0, j], End: [x.length - 1, j] };
      const next = { PageDown: 1, PageUp: maps - 1 }[event.key];
      const within = (k, list) => list[Math.min(Math.max(k, 0), list.length - 1)];
      if (event.key === "Escape") this.leave();
      else if (next) this.show(this.drawing(), (this.plot + next) % maps, within(i, x), within(j, y));
      else if (event.key in steps) this.show(this.drawing(), this.plot, within(steps[event.key][0], x), within(steps[event.key][1], y));
      else return;
      event.preventDefault();
    }

    show(svg, plot, x, y) {
      const map = this.data.maps[plot];
      this.clear();
      if (!svg || map.x.length === 0) return;
      const i = nearest(map.x, x), j = nearest(map.y, y);
      [this.plot, this.x, this.y] = [plot, map.x[i], map.y[j]];
      const [px, py] = this.position(svg, plot, this.x, this.y);
      const [left, top, width] = this.areas(svg)[plot];
      this.mark(svg, "circle", { class: "at ink", cx: px, cy: py, r: 4 });
      const z = map.z[j][i], data = this.data;
      this.write([[own(map.title), data.x.label, print(this.x, data.x)], ["", data.y.label, print(this.y, data.y)],
        ["", data.z.label, z === null ? "\u2013" : print(z, data.z)]]);
      this.place(svg, px, left, width, top);
    }
  }

  function enliven(part) {
    for (const script of part.querySelectorAll("script.values")) {
      const picture = script.parentElement.querySelector(".picture"), data = JSON.parse(script.textContent);
      let before = [];
      for (const plot of data.plots || []) for (const line of plot.lines) before = line.x = line.x || before;
      const known = readouts.find((r) => r.picture === picture);
      if (known) {
        known.clear();
        known.data = data;
      } else if (picture) readouts.push(data.maps ? new MapReadout(picture, data) : new Readout(picture, data));
    }
  }

  // The contents mark the heading that the reader has reached.
  function follow() {
    const links = [...document.querySelectorAll(".side .contents a")];
    const headings = links.map((a) => document.getElementById(decodeURIComponent(a.hash.slice(1))));
    let waiting = false;
    function mark() {
      waiting = false;
      const at = headings.findLastIndex((h) => h && h.getBoundingClientRect().top < innerHeight / 3);
      links.forEach((a, i) => i === at ? a.setAttribute("aria-current", "location") : a.removeAttribute("aria-current"));
    }
    addEventListener("scroll", () => {
      if (!waiting) requestAnimationFrame(mark);
      waiting = true;
    }, { passive: true });
    mark();
  }

  document.addEventListener("turnplate-along", (event) => {
    const { key, index, from } = event.detail;
    for (const r of readouts) if (r !== from && r.data.along === key) r.follow(index);
  });

  // A dial or a live preview says that the page has changed; it names the parts that are new.
  document.addEventListener("turnplate-changed", (event) => {
    readouts = readouts.filter((r) => r.picture.isConnected);
    event.detail.forEach((part) => {
      enliven(part);
      describe(part);
    });
  });

  enliven(document);
  unitsSwitch();
  follow();
})();
