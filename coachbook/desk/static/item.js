// Moving the men writes the moves: for one move the first of them, for a line all of the student's own.

import { makeBoard } from "./board.js";

const panel = document.getElementById("by-board");
if (panel) {
  const written = document.getElementById("written");
  const element = panel.querySelector(".squares");
  const moves = [];
  makeBoard(element, {
    fen: element.dataset.fen,
    onMove(_uci, san) {
      moves.push(san);
      written.value = moves.join(" ");
    },
  });
}
