// The reader's own vehicle in the place of the page's. Until a reader asks for it, this file only keeps the page as it
// was sent; it stands before the scripts that change the page.
"use strict";

(function () {
  const { page, notebook, name } = document.currentScript.dataset;
  const folder = new URL(".", document.currentScript.src);
  const sent = document.body.cloneNode(true), shown = [];
  for (let walker = document.createTreeWalker(document.body), node = document.body; node; node = walker.nextNode()) shown.push(node);
  let engine = null;

  function load(file) {
    return new Promise((done, failed) => {
      const script = document.createElement("script");
      Object.assign(script, { src: new URL(file, folder).href, onload: done, onerror: () => failed(new Error(file + " can't be loaded")) });
      document.head.append(script);
    });
  }

  // Starts what works a page out for the reader, once. told is called with how much of it is here, from 0 to 1.
  function start(told) {
    engine = engine || load("exchange.js").then(() => load("engine.js")).then(() => {
      return turnplateEngine({ folder, load, told, exchange: turnplateExchange(sent, shown), page, notebook, name });
    });
    engine.catch(() => engine = null);
    return engine;
  }

  window.turnplateYours = { start, page, notebook, name };
})();
