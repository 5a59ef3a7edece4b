// What all pages share: touches that are kept without loading the page anew, parts that other devices change,
// and work that shows how far it is. Without it the same forms are sent in the usual way.

const told = document.getElementById("told");
const me = Number(document.body.dataset.me);
const PAUSE = 1500;
const waiting = [];
let isSending = false;

export function tell(text, lasts = 4000) {
  told.textContent = text;
  clearTimeout(tell.timer);
  if (lasts) tell.timer = setTimeout(() => { told.textContent = ""; }, lasts);
}

// The part with an id in what the desk sent; null if it is not there.
export function partOf(html, id) {
  const holder = document.createElement("template");
  holder.innerHTML = html;
  return holder.content.getElementById(id);
}

export function put(id, html) {
  const old = document.getElementById(id);
  if (!old) return;
  const active = document.activeElement;
  const place = old.contains(active) ? [...old.querySelectorAll("button, a")].indexOf(active) : -1;
  const part = partOf(html, id);
  if (!part) return;
  old.replaceWith(part);
  if (place >= 0) part.querySelectorAll("button, a")[place]?.focus();
}

// Browsers have no crypto.randomUUID on a tablet: the network of a room is no secure context.
function newNumber() {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((each) => each.toString(16).padStart(2, "0")).join("");
}

// A touch has a number of its own and stays in line until the desk says that it is kept: sent again after a
// break, it does not count again.
async function sendAll() {
  if (isSending) return;
  isSending = true;
  while (waiting.length) {
    const { action, body, part } = waiting[0];
    let answer;
    try {
      answer = await fetch(action, { method: "POST", body, headers: { "X-Part": "yes" } });
    } catch {
      tell("The desk does not answer. What you touched is sent again by itself.", 0);
      await new Promise((go) => setTimeout(go, PAUSE));
      continue;
    }
    if (answer.status === 403 && answer.headers.get("content-type").startsWith("text/html")) {
      tell("This browser is no longer in: open a new link of the desk in another tab. Then this is sent again.", 0);
      await new Promise((go) => setTimeout(go, PAUSE));
      continue;
    }
    waiting.shift();
    const text = await answer.text();
    if (answer.ok) {
      tell("");
      if (part && !waiting.some((each) => each.part === part)) put(part, text);
    } else {
      tell(text, 8000);
      document.getElementById(part)?.querySelectorAll(".sent").forEach((each) => each.classList.remove("sent"));
    }
  }
  isSending = false;
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.classList.contains("touch")) return;
  event.preventDefault();
  const body = new URLSearchParams(new FormData(form));
  body.set("touch", newNumber());
  const part = form.closest("[id]").id;
  form.querySelector("button").classList.add("sent");
  waiting.push({ action: form.action, body, part });
  sendAll();
});

addEventListener("beforeunload", (event) => { if (waiting.length) event.preventDefault(); });

for (const each of document.querySelectorAll("[data-live]")) {
  const source = new EventSource(`/live/${each.dataset.live}`);
  source.onmessage = (event) => {
    const { part, html, by, told: said } = JSON.parse(event.data);
    if (by === me && waiting.some((touch) => touch.part === part)) return;
    put(part, html);
    if (by !== me) tell(said);
  };
  let wasBroken = false;
  source.onerror = () => { wasBroken = true; };
  source.onopen = () => { if (wasBroken && !waiting.length) location.reload(); };
  addEventListener("pagehide", () => source.close());
}

const work = document.getElementById("work");
if (work) {
  const bar = document.getElementById("work-bar");
  const ask = async () => {
    try {
      const state = await (await fetch(work.dataset.state)).json();
      if (state.isOver) { location.reload(); return; }
      if (state.of) { bar.max = state.of; bar.value = state.done; }
      document.getElementById("work-what").textContent = state.what;
    } catch { tell("The desk does not answer.", 0); }
    setTimeout(ask, 400);
  };
  ask();
}
