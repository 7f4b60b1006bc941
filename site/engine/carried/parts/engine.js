// Works a page out for its reader's own vehicle, with the program that made the page. A page loads this file when its
// reader asks for that, and nothing of it sends anything anywhere.
"use strict";

const turnplateCarried = {}; // what other files bring: the notebooks, and the program where it comes as text

// Runs the program: in a worker, or on the page where there can be none. It is a function of its own because a worker
// is made from its text. say is called with {share}, how much of the program is here; {ready}; {id, answer}; {failed}.
// It gives a function that takes {notebooks}, those of the site, and then {id, ask}.
function turnplateProgram(say, source) {
  let answer = null, brought;
  const notebooks = new Promise((done) => { brought = done; });

  // The program arrives compressed. Some hosts say so, and then the browser has taken it apart already.
  async function streamed(url) {
    const response = await fetch(url);
    if (!response.ok) throw new Error("the program can't be loaded: " + response.status);
    const total = Number(response.headers.get("Content-Length")), reader = response.body.getReader();
    let next = await reader.read(), here = 0;
    const packed = next.value[0] === 0x1f && next.value[1] === 0x8b;
    const bytes = new ReadableStream({
      async pull(out) {
        if (next.done) return out.close();
        here += next.value.length;
        say({ share: total ? Math.min(here / total, 1) : 0 });
        out.enqueue(next.value);
        next = await reader.read();
      },
    });
    return packed ? bytes.pipeThrough(new DecompressionStream("gzip")) : bytes;
  }

  // Newer browsers have a word for it that takes a tenth of the time.
  function decoded(text) {
    if (Uint8Array.fromBase64) return Uint8Array.fromBase64(text);
    const letters = atob(text), bytes = new Uint8Array(letters.length);
    for (let i = 0; i < letters.length; i++) bytes[i] = letters.charCodeAt(i); // Uint8Array.from takes ten times as long
    return bytes;
  }

  function unpacked(text) {
    return new Blob([decoded(text)]).stream().pipeThrough(new DecompressionStream("gzip"));
  }

  async function run() {
    const go = new Go();
    const bytes = source.text ? unpacked(source.text) : await streamed(source.url);
    const response = new Response(bytes, { headers: { "Content-Type": "application/wasm" } });
    const { instance } = await WebAssembly.instantiateStreaming(response, go.importObject);
    const ready = new Promise((done) => globalThis.turnplateReady = (...functions) => done(functions));
    go.run(instance).then(() => say({ failed: "the program has ended" }));
    const [open, answers] = await ready, wrong = open(new Uint8Array(await notebooks));
    if (wrong) throw new Error(wrong);
    answer = answers;
    say({ ready: true });
  }

  run().catch((error) => say({ failed: String(error.message || error) }));
  return ({ notebooks, id, ask }) => {
    if (notebooks) brought(new Response(unpacked(notebooks)).arrayBuffer());
    else say({ id, answer: answer(ask) });
  };
}

// What a worker made from turnplateProgram's text does with it.
function turnplateWorker() {
  let program = null;
  onmessage = ({ data }) => {
    if (data.source) program = turnplateProgram(postMessage, data.source);
    else program(data);
  };
}

// Starts the program and opens the site's notebooks in it. exchange puts a page's body in the place of the one on show;
// told hears how much of the program is here. What it gives asks the program and shows its pages.
async function turnplateEngine({ folder, load, told, exchange, page, notebook, name }) {
  const waiting = new Map(); // by number
  let asked = 0, ready, failed;
  const up = new Promise((done, no) => [ready, failed] = [done, no]);

  function hear(message) {
    if (message.share !== undefined) told(message.share);
    if (message.ready) ready();
    if (message.failed) failed(new Error(message.failed));
    if (message.id === undefined) return;
    waiting.get(message.id)(message.answer);
    waiting.delete(message.id);
  }

  // From a file a browser may load nothing but scripts, so there the program comes as the text of one.
  async function source() {
    if (location.protocol === "file:") await load("program.js");
    else return { url: new URL("program.bin", folder).href };
    return { text: turnplateCarried.program };
  }

  // A worker leaves the page alive while it works. Some browsers refuse it to a page from a file.
  function inWorker(from) {
    const text = `"use strict";(${turnplateRuntime})();${turnplateProgram}(${turnplateWorker})();`;
    const worker = new Worker(URL.createObjectURL(new Blob([text], { type: "text/javascript" })));
    worker.onmessage = ({ data }) => hear(data);
    worker.onerror = () => {
      aside = false;
      send = onPage(from);
      bring();
    };
    worker.postMessage({ source: from });
    return (message) => worker.postMessage(message);
  }

  function onPage(from) {
    turnplateRuntime();
    const program = turnplateProgram(hear, from);
    return (message) => setTimeout(() => program(message));
  }

  const notebooks = load("notebooks.js"); // while the program comes
  notebooks.catch(() => {}); // told below
  const from = await source();
  let send, aside = true; // of the page's own thread
  try {
    send = inWorker(from);
  } catch {
    aside = false;
    send = onPage(from);
  }
  const bring = () => notebooks.then(() => send({ notebooks: turnplateCarried.notebooks }));
  await Promise.all([up, bring()]);

  function ask(request) {
    return new Promise((done) => {
      waiting.set(++asked, done);
      send({ id: asked, ask: JSON.stringify({ Page: page, Notebook: notebook, Name: name, ...request }) });
    });
  }

  let turn = 0, whole = true, Still = null;

  // What the reader sees of the page: where its dials stand, and which figures are in the window, or will be shortly; the
  // nearest one where none is.
  function view() {
    if (whole) { // else some dials aren't there
      const dials = [...document.querySelectorAll(".dial output .in-metric")].map((e) => e.textContent);
      Still = dials.length > 0 ? dials : null;
    }
    const near = innerHeight / 4;
    const away = ({ top, bottom, height }) => height ? Math.max(-near - bottom, top - innerHeight - near, 0) : Infinity;
    const all = [...document.querySelectorAll(".figure[id], .claim[id], .exercise[id]")].map((e) => [e.id, away(e.getBoundingClientRect())]);
    const least = Math.min(...all.map(([, far]) => far)), Seen = all.filter(([, far]) => far === least).map(([id]) => id);
    return { Still, Seen, Hurry: true };
  }

  // Works the page out as a request says, {Changes, Command}, and shows it: what the reader sees of it first, then the rest
  // of it, for where its dials stand, and for all their positions as soon as the reader asks for nothing more. heard gets
  // each answer, which may bring the reader's form, and says with stops why the page can't be worked out.
  async function show(request, heard) {
    const mine = ++turn, seen = view();
    whole = false;
    const first = await draw(mine, { ...request, ...seen });
    if (!first) return;
    heard(first);
    if (!first.stops) rest(mine, request, first, heard);
  }

  async function rest(mine, request, first, heard) {
    if (first.later) {
      const answer = await draw(mine, { ...request, Still });
      if (!answer) return;
      heard(answer);
      if (answer.stops) return;
    }
    if (Still) {
      await new Promise((done) => setTimeout(done, 1000));
      if (mine !== turn || !await draw(mine, { Changes: first.changes })) return;
    }
    whole = true;
  }

  // Works the page out unseen, so that all is at hand when the reader gives a first value.
  async function warm() {
    const mine = turn, seen = view();
    if (aside) await ask({ Do: "page", ...seen });
    if (aside && mine === turn) ask({ Do: "page", Still });
  }

  // Shows a page, unless the reader has asked for another by now. It gives the answer, or null.
  async function draw(mine, request) {
    const answer = await ask({ Do: "page", ...request });
    if (mine !== turn) return null;
    if (answer.html) exchange(new DOMParser().parseFromString(answer.html, "text/html").body);
    return answer;
  }

  // Nothing that is still to come is shown.
  function leave() {
    turn++;
    whole = true;
  }

  return { ask, show, warm, leave };
}
