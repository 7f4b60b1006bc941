// Exchanges what has changed of a page on show for a newer version of it: in a preview after a save, on a site where
// the reader's own vehicle takes the place of the page's.
//
// The page as it was last sent is kept beside the page on show, and each of its nodes knows its twin there.
// A newer page is compared with the one sent before, and only the differences are carried over: whatever the
// reader has folded, scrolled, moved or chosen stays, because those nodes stay.
"use strict";

// Takes the body as it was sent and the nodes on show in its order, as they were before any script changed them.
// What it gives is called with a newer body; it gives the elements that have changed.
function turnplateExchange(sent, shown) {
  const twins = new WeakMap(); // from nodes as sent to nodes on show
  let fresh = [], changed = new Set();

  const whole = (node) => node.nodeName === "svg" || node.nodeName === "SCRIPT";

  turnplateNodes(sent).forEach((node, i) => twins.set(node, shown[i]));

  // Within a drawing or a script nothing is ever patched, so there the nodes needn't know each other.
  function pair(copy, live) {
    twins.set(copy, live);
    if (whole(copy)) return;
    for (let a = copy.firstChild, b = live.firstChild; a; a = a.nextSibling, b = b.nextSibling) pair(a, b);
  }

  // The node on show. A dial may have put another element of the same name in its place.
  function twin(node) {
    const live = twins.get(node);
    return !live.isConnected && node.id && document.getElementById(node.id) || live;
  }

  // Makes a node as sent, and its twin on show, like a newer one.
  function patch(old, now) {
    const live = twin(old);
    if (old.nodeType !== Node.ELEMENT_NODE) {
      if (old.data !== now.data) {
        old.data = live.data = now.data;
        changed.add(live.parentElement);
      }
      return;
    }
    for (const { name, value } of [...now.attributes]) {
      if (old.getAttribute(name) === value) continue;
      for (const node of [old, live]) node.setAttribute(name, value);
      changed.add(live);
    }
    for (const { name } of [...old.attributes]) {
      if (now.hasAttribute(name)) continue;
      for (const node of [old, live]) node.removeAttribute(name);
      changed.add(live);
    }
    const before = [...old.childNodes], after = [...now.childNodes];
    const { from, same } = match(before, after), staying = new Set(from);
    for (const node of before) if (!staying.has(node)) remove(node, live);
    let last = null; // the child before, as sent
    after.forEach((node, i) => {
      if (same[i]) last = from[i];
      else last = from[i] ? renew(from[i], node) : insert(node, old, last);
    });
  }

  function remove(old, parent) {
    twin(old).remove();
    old.remove();
    changed.add(parent);
  }

  function insert(now, parent, last) {
    const live = document.importNode(now, true);
    if (last) twin(last).after(live);
    else twin(parent).prepend(live);
    parent.insertBefore(now, last ? last.nextSibling : parent.firstChild);
    pair(now, live);
    if (live.nodeType === Node.ELEMENT_NODE) {
      fresh.push(live);
      changed.add(live);
    } else changed.add(live.parentElement);
    return now;
  }

  // Makes a child like a newer one: piece by piece where that can be done, else as a whole.
  function renew(old, now) {
    if (!whole(old) && !drawnAnew(old, now)) {
      patch(old, now);
      return old;
    }
    const gone = twin(old);
    insert(now, old.parentNode, old);
    keepChoices(gone, twins.get(now));
    gone.remove();
    old.remove();
    return now;
  }

  // What the page's script has made alive in a figure goes by its drawing, so they are renewed together.
  function drawnAnew(old, now) {
    if (old.nodeName !== "FIGURE") return false;
    const drawn = (figure) => [...figure.children].filter((e) => e.matches(".picture, script"));
    const a = drawn(old), b = drawn(now);
    return a.length !== b.length || a.some((e, i) => !e.isEqualNode(b[i]));
  }

  // What a reader has done to a figure is done to the one that takes its place.
  function keepChoices(gone, live) {
    const both = (selector) => [...gone.querySelectorAll(selector)].map((e, i) => [e, live.querySelectorAll(selector)[i]]).filter(([, e]) => e);
    for (const [a, b] of both("details")) b.open = a.open;
    for (const [a, b] of both("input, select")) b.value = a.value;
    for (const [a, b] of both(".scroll")) b.scrollLeft = a.scrollLeft;
  }

  // For each of the newer children, the child to keep for it, and whether that is the same already: an equal
  // one, else one of its kind between the same equal neighbours.
  function match(before, after) {
    const from = new Array(after.length), same = new Array(after.length).fill(false);
    let start = 0, endA = before.length, endB = after.length;
    const equal = (i, j) => {
      if (before[i].isEqualNode(after[j])) from[j] = before[i];
      return same[j] = from[j] === before[i];
    };
    while (start < endA && start < endB && equal(start, start)) start++;
    while (endA > start && endB > start && equal(endA - 1, endB - 1)) endA--, endB--;
    for (const [i, j] of common(before, after, start, endA, endB)) if (!equal(i, j)) from[j] = before[i];
    let i = start;
    for (let j = start; j < endB; j++) {
      if (from[j]) {
        i = before.indexOf(from[j], i) + 1;
        continue;
      }
      const next = from.slice(j, endB).find(Boolean);
      const end = next ? before.indexOf(next, i) : endA;
      for (let k = i; k < end; k++) {
        if (!alike(before[k], after[j])) continue;
        from[j] = before[k];
        i = k + 1;
        break;
      }
    }
    return { from, same };
  }

  function alike(a, b) {
    if (a.nodeName !== b.nodeName) return false;
    return a.nodeType !== Node.ELEMENT_NODE || /^H\d$/.test(a.nodeName) || a.id === b.id;
  }

  // The longest common subsequence of the children in the middle, blank text left out. A figure goes by its
  // name: most of a page's bytes are in its figures.
  function common(before, after, start, endA, endB) {
    const key = (node) => node.nodeType !== Node.ELEMENT_NODE ? node.data.trim() : node.nodeName === "FIGURE" ? "#" + node.id : node.outerHTML;
    if (endA - start < 2 && endB - start < 2) return []; // they differ, and may be most of the page
    const a = before.slice(start, endA).map(key), b = after.slice(start, endB).map(key);
    const most = 1e6; // beyond that, comparing takes longer than drawing the page anew
    if (a.length * b.length > most) return [];
    const width = b.length + 1, length = new Uint16Array((a.length + 1) * width);
    for (let i = a.length - 1; i >= 0; i--) for (let j = b.length - 1; j >= 0; j--) {
      length[i * width + j] = a[i] && a[i] === b[j] ? length[(i + 1) * width + j + 1] + 1
        : Math.max(length[(i + 1) * width + j], length[i * width + j + 1]);
    }
    const pairs = [];
    for (let i = 0, j = 0; i < a.length && j < b.length;) {
      if (a[i] && a[i] === b[j]) pairs.push([start + i++, start + j++]);
      else if (length[(i + 1) * width + j] >= length[i * width + j + 1]) i++;
      else j++;
    }
    return pairs;
  }

  // Keeps the reader's eye where it is: what stood at the top of the window stays there.
  function holdingStill(work) {
    const held = [...document.querySelectorAll(".prose > *, .opening > *")].map((e) => [e, e.getBoundingClientRect()])
      .filter(([, box]) => box.height > 0 && box.bottom > 0).slice(0, 8);
    const atTop = scrollY === 0;
    work();
    const stays = held.find(([e]) => e.isConnected);
    if (stays && !atTop) scrollBy({ top: stays[0].getBoundingClientRect().top - stays[1].top, behavior: "instant" });
  }

  // What dials move, as sent: the positions, and the parts at the start.
  function dialled(body) {
    const script = body.querySelector("#positions");
    const ids = script ? JSON.parse(script.textContent).parts.map((p) => "#" + CSS.escape(p.id)) : [];
    return { ids, text: [script, ...ids.map((id) => body.querySelector(id))].map((e) => e && e.outerHTML).join("") };
  }

  // Puts every part that dials move back to how it was sent, for the dials to be begun anew.
  function restart(ids) {
    for (const id of ids) {
      const part = sent.querySelector(id), gone = part && twin(part);
      if (!part || fresh.includes(gone)) continue;
      const live = document.importNode(part, true);
      keepChoices(gone, live);
      if ([...changed].some((e) => gone.contains(e))) changed.add(live);
      gone.replaceWith(live);
      pair(part, live);
      fresh.push(live);
    }
    document.dispatchEvent(new Event("turnplate-rebuilt"));
  }

  return function (now) {
    fresh = [];
    changed = new Set();
    holdingStill(() => {
      const before = dialled(sent).text, { ids, text } = dialled(now);
      patch(sent, now);
      if (text !== before) restart(ids);
      const drawn = fresh.filter((e) => e.isConnected && (e.matches("figure") || e.querySelector("figure")));
      if (drawn.length > 0) document.dispatchEvent(new CustomEvent("turnplate-changed", { detail: drawn }));
    });
    return changed;
  };
}

// A node and all below it, in order.
function turnplateNodes(root) {
  const walker = document.createTreeWalker(root), all = [root];
  while (walker.nextNode()) all.push(walker.currentNode);
  return all;
}
