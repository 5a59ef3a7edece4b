// The moves of a play-out, made on the board for both sides; after each of them the desk says how it goes.

import { makeBoard } from "./board.js";

const element = document.querySelector(".squares");
const field = document.getElementById("moves");
const list = document.getElementById("judged");
const undo = document.getElementById("undo");
const moves = [];

async function judge() {
  field.value = moves.join(" ");
  undo.hidden = moves.length === 0;
  if (!moves.length) { list.replaceChildren(); return; }
  const count = moves.length;
  const answer = await fetch(`${list.dataset.judge}?moves=${encodeURIComponent(field.value)}`);
  if (!answer.ok || count !== moves.length) return;
  const { told } = await answer.json();
  list.replaceChildren(...told.map((line) => {
    const item = document.createElement("li");
    item.textContent = line;
    return item;
  }));
}

const board = makeBoard(element, {
  fen: element.dataset.fen,
  onMove(_uci, san) {
    moves.push(san);
    judge();
  },
});
undo.addEventListener("click", () => {
  board.undo();
  moves.pop();
  judge();
});

for (const button of document.querySelectorAll("[data-end]")) {
  button.hidden = false;
  button.addEventListener("click", () => { document.getElementById("told-end").value = button.dataset.end; });
}
