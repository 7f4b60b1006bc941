// Keeps an open page in step with its notebook. The preview serves this file; it is on no written site. What a save has
// changed is put in place by turnplateExchange.
"use strict";

(function () {
  const { page, digest: served } = document.currentScript.dataset;
  // This runs before the page's own script, so the page is still as it was sent.
  const head = headOf(document), exchange = turnplateExchange(document.body.cloneNode(true), turnplateNodes(document.body));
  let digest = served;

  const blocks = "p, li, h1, h2, h3, h4, h5, h6, pre, td, th, dt, dd, figcaption, figure, blockquote, ul, ol, dl, .scroll, .claim, .exercise";

  let marking = 0;

  // For a moment, what the last save has changed is marked.
  function mark(changed) {
    const marked = new Set();
    for (const e of changed) {
      const block = e.isConnected && e.closest("main") && e.closest(blocks);
      if (block) marked.add(block);
    }
    unmark();
    void document.body.offsetWidth; // so that the same mark starts again
    for (const block of marked) block.classList.add("preview-changed");
    clearTimeout(marking);
    marking = setTimeout(unmark, 2000);
  }

  function unmark() {
    for (const block of document.querySelectorAll(".preview-changed")) block.classList.remove("preview-changed");
  }

  // What only a new start of the page can change: the author's units, the scripts it needs.
  function headOf(page) {
    return [page.documentElement.dataset.units, ...[...page.querySelectorAll("head script:not([data-page])")].map((e) => e.getAttribute("src"))].join();
  }

  function update(html) {
    const now = new DOMParser().parseFromString(html, "text/html");
    if (!document.querySelector(".prose") || headOf(now) !== head) return location.reload();
    const changed = exchange(now.body);
    document.title = now.title;
    mark(changed);
  }

  function notice(html) {
    let box = document.getElementById("preview-notice");
    if (!html) return box && box.remove();
    if (!box) {
      box = document.createElement("aside");
      box.id = "preview-notice";
      box.setAttribute("role", "alert");
      document.body.append(box);
    }
    box.replaceChildren(...new DOMParser().parseFromString(html, "text/html").body.childNodes);
  }

  // A browser opens few connections to one host, so a page that nobody sees lets go of its own.
  let source = null, told = "";

  function follow() {
    if (source || document.hidden) return;
    source = new EventSource("/_preview/events?page=" + encodeURIComponent(page) + "&have=" + encodeURIComponent(digest));
    source.onmessage = (event) => {
      const news = JSON.parse(event.data);
      if (news.html && news.digest !== digest) {
        digest = news.digest;
        try { update(news.html); } catch (error) {
          console.error(error);
          location.reload();
        }
      }
      notice(told = news.notice);
    };
    source.onerror = () => notice('<p class="preview-head">The preview has stopped.</p><p>This page is no longer kept in step.</p>');
    source.onopen = () => notice(told);
  }

  function leave() {
    if (source) source.close();
    source = null;
  }

  document.addEventListener("visibilitychange", () => document.hidden ? leave() : follow());
  addEventListener("pagehide", leave);
  follow();
})();
