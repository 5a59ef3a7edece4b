// A board for a whole class: each move, each step of a plan or a lesson is shown in place, so that a full screen
// stays one. A part may name the address for a move (`data-moved`); else the new position is looked at.

import { makeBoard } from "./board.js";
import { partOf, tell } from "./desk.js";

const NEAR = "#plan-on, #plan-back, #step-on, #step-back, #lessons";
const looked = () => document.getElementById("looked");
let asked = 0;

function begin() {
  const part = looked();
  makeBoard(part.querySelector(".squares"), {
    onMove(uci, san, fen) {
      const planned = part.querySelector(`[data-uci="${uci}"]`);
      const moved = part.dataset.moved ? part.dataset.moved + uci : `/board?fen=${encodeURIComponent(fen)}`;
      show(planned ? planned.href : moved);
    },
  });
  const plan = part.querySelector("#plan"), first = part.querySelector("#plan-begin");
  if (plan && !plan.open) plan.addEventListener("toggle", () => { if (plan.open) show(first.href); });
  nameButton();
}

// The part of the page for an address takes the place of this one. Where that is another page, the browser goes.
async function show(address, isNew = true) {
  const mine = ++asked;
  let answer, text;
  try {
    answer = await fetch(address, { headers: { "X-Part": "yes" } });
    text = await answer.text();
  } catch {
    tell("The desk does not answer.");
    return;
  }
  if (mine !== asked) return;
  if (!answer.ok) { tell(text, 8000); return; }
  const part = partOf(text, "looked");
  if (!part) { location.assign(answer.url); return; }
  if (isNew) history.pushState(null, "", answer.url);
  replace(part);
}

function replace(part) {
  const old = looked(), active = document.activeElement;
  const square = old.contains(active) ? active.dataset.square : undefined;
  const opened = active.closest?.(".in-place") ? active.closest("details")?.id : undefined;
  const back = old.contains(active) ? active.id || active.closest("details")?.id : undefined;
  old.replaceWith(part);
  if (opened && part.querySelector(`#${opened}`)) part.querySelector(`#${opened}`).open = true;
  begin();
  if (square) part.querySelector(`[data-square="${square}"]`).focus();
  else if (back) (part.querySelector(`#${back}`) ?? part.querySelector(NEAR))?.focus();
}

function nameButton() {
  const button = looked().querySelector(".whole");
  button.hidden = !document.fullscreenEnabled;
  button.textContent = document.fullscreenElement ? "Leave the full screen" : "Full screen";
}

document.addEventListener("click", (event) => {
  const link = event.target.closest("#looked a.in-place");
  if (link && !event.ctrlKey && !event.metaKey && !event.shiftKey) {
    event.preventDefault();
    show(link.href);
  } else if (event.target.closest("#looked .whole")) {
    if (document.fullscreenElement) document.exitFullscreen();
    else document.documentElement.requestFullscreen().catch(() => tell("This browser has no full screen."));
  }
});

document.addEventListener("submit", (event) => {
  if (!event.target.closest("#looked")) return;
  event.preventDefault();
  show(`${event.target.action}?${new URLSearchParams(new FormData(event.target))}`);
});

document.addEventListener("fullscreenchange", () => {
  document.documentElement.classList.toggle("projected", document.fullscreenElement !== null);
  nameButton();
});

addEventListener("popstate", () => show(location.href, false));

begin();
