// Moving the men writes the moves: of a line the student's own one after the other; else each from the printed
// position, with commas between.

import { makeBoard } from "./board.js";

const panel = document.getElementById("by-board");
if (panel) {
  const written = document.getElementById("written");
  const element = panel.querySelector(".squares");
  const isLine = panel.dataset.line === "yes";
  const fen = element.dataset.fen;
  const moves = [];
  const board = makeBoard(element, {
    fen,
    onMove(_uci, san) {
      moves.push(san);
      written.value = moves.join(isLine ? " " : ", ");
      if (!isLine) setTimeout(() => board.setPosition(fen), 600);
    },
  });
}
