// Setting a position up: what is put on the board stands in the field, and what is typed there on the board.

import { makeBoard } from "./board.js";

const form = document.getElementById("set-up");
const field = form.elements.fen;
const MEN = /^[pnbrqkPNBRQK1-8]+(\/[pnbrqkPNBRQK1-8]+){7}$/;

const board = makeBoard(document.querySelector(".squares"), { onChange: (fen) => { field.value = fen; } });

document.getElementById("to-move").hidden = false;
document.getElementById("to-move").addEventListener("change", (event) => board.setSide(event.target.value));

field.addEventListener("change", () => {
  const [men, side] = field.value.trim().split(/\s+/);
  if (!MEN.test(men)) return;
  if (side) form.elements.side.value = side;
  else field.value = `${men} ${form.elements.side.value} - - 0 1`;
  board.setPosition(field.value.trim());
});
