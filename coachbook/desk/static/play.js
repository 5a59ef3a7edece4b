// A game against coachbook: each move of the student's is told to the desk, which answers with the board after
// coachbook's reply. In practice the whole game stands in the page's address; at a board in the room it is in the
// book, and a move is sent until the desk has it.

import { makeBoard } from "./board.js";
import { partOf, tell } from "./desk.js";
import { watch } from "./watch.js";

const PAUSE = 1500;
const happened = document.getElementById("happened");
const game = () => document.getElementById("game");
let isAsked = false;

function begin() {
  const part = game(), element = part.querySelector(".squares");
  const board = makeBoard(element, {
    async onMove(uci) {
      if (isAsked) return; // coachbook's own move, which is on its way
      isAsked = true;
      const told = await (part.dataset.watched ? keep(part, uci) : show(`${part.dataset.here}&uci=${uci}`));
      isAsked = false;
      if (!told) return;
      tell(told, 8000);
      board.setPosition(element.dataset.fen);
    },
  });
}

// Shows what comes of a move, or, if nothing is new, what has changed: "" if it is shown, or else why not.
async function show(address, isNew = true) {
  let answer, text;
  try {
    answer = await fetch(address, { headers: { "X-Part": "yes" } });
    text = await answer.text();
  } catch {
    return "The desk does not answer. Make your move again.";
  }
  if (!answer.ok) return text;
  const part = partOf(text, "game");
  if (!part) { location.assign(answer.url); return ""; }
  if (isNew) history.replaceState(null, "", answer.url);
  else if (part.dataset.state === game().dataset.state) return "";
  replace(part);
  return "";
}

// The same for a move that is kept: it is sent again for as long as the desk does not answer.
async function keep(part, uci) {
  const body = new URLSearchParams({ at: part.dataset.at, uci });
  for (;;) {
    try {
      const answer = await fetch(`${part.dataset.here}/move`, { method: "POST", body, headers: { "X-Part": "yes" } });
      const text = await answer.text();
      if (!answer.ok) return partOf(text, "main") ? "Show this to your coach: the board is closed." : text;
      tell("");
      replace(partOf(text, "game"));
      if (game().dataset.told) tell(game().dataset.told, 8000);
      return "";
    } catch {
      tell("Wait: your move goes out again by itself.", 0);
      await new Promise((go) => setTimeout(go, PAUSE));
    }
  }
}

function replace(part) {
  const old = game(), active = document.activeElement;
  const square = old.contains(active) ? active.dataset.square : undefined;
  old.replaceWith(part);
  begin();
  const ended = part.querySelector("#ended");
  if (ended) ended.focus();
  else if (square) part.querySelector(`[data-square="${square}"]`).focus();
  happened.textContent = [part.querySelector("#answered"), ended, part.querySelector(".now")]
    .map((each) => each?.textContent ?? "").join(" ");
}

// What the coach changed: a move that was taken back, a game that was stopped, another one in its place.
async function renew() {
  if (isAsked) return;
  const before = Number.parseInt(game().dataset.state, 10);
  const told = await show(game().dataset.here, false);
  if (!told && Number.parseInt(game().dataset.state, 10) < before) tell("Your coach took a move back. Try again.", 8000);
  if (!told && game().dataset.next) location.assign(game().dataset.next);
}

begin();
if (game().dataset.watched) watch(game().dataset.watched, renew, (state) => isAsked || state === game().dataset.state);
