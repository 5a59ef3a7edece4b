// A game against coachbook: each move of the student's is told to the desk, which answers with the board after
// coachbook's reply. The whole game stands in the page's address.

import { makeBoard } from "./board.js";
import { partOf, tell } from "./desk.js";

const happened = document.getElementById("happened");
let isAsked = false;

function begin() {
  const part = document.getElementById("game"), element = part.querySelector(".squares");
  const board = makeBoard(element, {
    async onMove(uci) {
      if (isAsked) return; // coachbook's own move, which is on its way
      isAsked = true;
      const told = await send(`${part.dataset.here}&uci=${uci}`);
      isAsked = false;
      if (!told) return;
      tell(told, 8000);
      board.setPosition(element.dataset.fen);
    },
  });
}

// Shows what comes of a move: "" if it is shown, or else why not.
async function send(address) {
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
  history.replaceState(null, "", answer.url);
  replace(part);
  return "";
}

function replace(part) {
  const old = document.getElementById("game"), active = document.activeElement;
  const square = old.contains(active) ? active.dataset.square : undefined;
  old.replaceWith(part);
  begin();
  const ended = part.querySelector("#ended");
  if (ended) ended.focus();
  else if (square) part.querySelector(`[data-square="${square}"]`).focus();
  happened.textContent = [part.querySelector("#answered"), ended, part.querySelector(".now")]
    .map((each) => each?.textContent ?? "").join(" ");
}

begin();
