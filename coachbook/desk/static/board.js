// The board on which men are moved: by mouse, by touch and by keyboard. It knows no rules of chess: the desk says
// which moves are legal.
//
//   const board = makeBoard(element, { onMove(uci, san, fen, told) { ... } });
//   board.setPosition(fen);  board.undo();  board.fen
//
// `element` is what `board_grid` of board_grid.html makes. Its mode is "moves" (only legal moves are made, and each
// is told to `onMove`), "free" (men are put anywhere and taken off, and each new position is told to
// `onChange(fen)`; `setSide("w")` says who is to move) or "show" (it is only looked at).

import { tell } from "./desk.js";

const SPRITES = "/static/pieces.svg";
const NAMES = { k: "king", q: "queen", r: "rook", b: "bishop", n: "knight", p: "pawn" };
const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1], Home: [-7, 0], End: [7, 0] };
const FAR = 6; // pixels that a press moves before it is a drag

export function makeBoard(element, options = {}) {
  return new Board(element, options);
}

function isWhite(letter) { return letter === letter.toUpperCase(); }

function told(letter) { return `${isWhite(letter) ? "white" : "black"} ${NAMES[letter.toLowerCase()]}`; }

function draw(use, letter) {
  if (letter) use.setAttribute("href", `${SPRITES}#${isWhite(letter) ? "w" : "b"}${letter.toUpperCase()}`);
  else use.removeAttribute("href");
}

// The men of a position by the names of their squares.
function menOf(fen) {
  const men = new Map();
  fen.split(" ")[0].split("/").forEach((row, at) => {
    let file = 0;
    for (const sign of row) {
      if (/\d/.test(sign)) { file += Number(sign); continue; }
      men.set("abcdefgh"[file] + (8 - at), sign);
      file += 1;
    }
  });
  return men;
}

function rowsOf(men) {
  const row = (rank) => [..."abcdefgh"].map((file) => men.get(file + rank) ?? "1").join("");
  return [8, 7, 6, 5, 4, 3, 2, 1].map((rank) => row(rank).replace(/1+/g, (empty) => empty.length)).join("/");
}

class Board {
  #root; #buttons; #mode; #onMove; #onChange;
  #fen; #men; #legal; #before = [];
  #held = null; #press = null; #isDropped = false; #stopAsking = null;

  constructor(element, { fen, onMove, onChange, isFree, orientation }) {
    this.#mode = isFree ? "free" : element.dataset.mode;
    this.#onMove = onMove;
    this.#onChange = onChange;
    this.#root = element.querySelector(".played");
    element.querySelector(".still").hidden = true;
    this.#root.hidden = false;
    if (orientation && orientation !== element.dataset.orientation) this.#turn(element, orientation);
    this.#buttons = [...this.#root.querySelectorAll("[data-square]")];
    this.#show(fen ?? element.dataset.fen, fen !== undefined && fen !== element.dataset.fen);
    this.#root.addEventListener("click", (event) => this.#click(event));
    this.#root.addEventListener("keydown", (event) => this.#key(event));
    this.#root.addEventListener("focusin", (event) => this.#rove(event.target));
    this.#root.addEventListener("pointerdown", (event) => this.#down(event));
    this.#root.addEventListener("pointermove", (event) => this.#drag(event));
    this.#root.addEventListener("pointerup", (event) => this.#drop(event));
    this.#root.addEventListener("pointercancel", () => this.#letGo());
  }

  get fen() { return this.#fen; }

  setPosition(fen) {
    this.#before = [];
    this.#show(fen, true);
  }

  // The position before the last move; null if there was none.
  undo() {
    const fen = this.#before.pop();
    if (fen === undefined) return null;
    this.#show(fen, true);
    this.#onChange?.(fen);
    return fen;
  }

  setSide(side) { this.#change(this.#men, side); }

  #show(fen, isNew) {
    this.#letGo();
    this.#stopAsking?.();
    this.#fen = fen;
    this.#men = menOf(fen);
    if (isNew) this.#root.querySelectorAll(".marks").forEach((each) => each.remove());
    for (const button of this.#buttons) {
      const name = button.dataset.square, letter = this.#men.get(name);
      button.setAttribute("aria-label", letter ? `${name}, ${told(letter)}` : name);
      draw(button.querySelector("use"), letter);
    }
    if (this.#mode === "moves") this.#legal = this.#ask(fen);
  }

  // The legal moves as the desk tells them; where it can't, what it says instead is shown.
  async #ask(fen) {
    try {
      const answer = await fetch(`/moves?fen=${encodeURIComponent(fen)}`, { headers: { "X-Part": "yes" } });
      return answer.ok ? await answer.json() : { refused: await answer.text() };
    } catch {
      return { refused: "The desk does not answer." };
    }
  }

  // What is done with a square, however it was touched.
  #touch(name) {
    const held = this.#held;
    if (!held) this.#hold(name);
    else if (held.from === name) this.#letGo();
    else this.#putDown(held, name);
  }

  #hold(name) {
    const letter = this.#men.get(name);
    this.#letGo();
    if (!letter || !this.#mayHold(letter)) return;
    this.#take(letter, name, this.#button(name));
  }

  #mayHold(letter) {
    if (this.#mode !== "moves") return this.#mode === "free";
    const white = this.#fen.split(" ")[1] === "w";
    if (isWhite(letter) !== white) tell(`${white ? "White" : "Black"} is to move.`);
    return isWhite(letter) === white;
  }

  #take(letter, from, button) {
    this.#held = { letter, from, button };
    button.setAttribute("aria-pressed", "true");
  }

  #letGo() {
    this.#held?.button.removeAttribute("aria-pressed");
    this.#held = null;
    const dragged = this.#press?.button;
    this.#press = null;
    if (dragged) {
      dragged.classList.remove("dragged");
      dragged.querySelector(".man").style.transform = "";
    }
  }

  async #putDown(held, name) {
    this.#letGo();
    if (this.#mode === "free") { this.#put(held, name); return; }
    const fen = this.#fen, answer = await this.#legal;
    if (fen !== this.#fen) return;
    if (answer.refused) { tell(answer.refused, 8000); return; }
    const found = answer.moves.filter((move) => move.uci.slice(0, 4) === held.from + name);
    const own = this.#men.get(name);
    if (found.length) this.#make(found.length > 1 ? await this.#choose(found) : found[0], fen);
    else if (own && isWhite(own) === isWhite(held.letter)) this.#hold(name);
    else if (answer.end && !answer.moves.length) tell(`The game is over: ${answer.end}.`);
    else tell(`The ${NAMES[held.letter.toLowerCase()]} may not go from ${held.from} to ${name}.`);
  }

  #make(move, fen) {
    if (!move || fen !== this.#fen) return;
    this.#before.push(fen);
    this.#show(move.fen, true);
    this.#root.querySelector(".unseen").textContent = move.told;
    this.#onMove?.(move.uci, move.san, move.fen, move.told);
  }

  // Which man a pawn becomes: one of the moves, or null.
  #choose(found) {
    const box = this.#root.querySelector(".becomes"), back = document.activeElement;
    const white = this.#fen.split(" ")[1] === "w";
    for (const each of box.querySelectorAll("[data-man]")) {
      draw(each.querySelector("use"), white ? each.dataset.man.toUpperCase() : each.dataset.man);
    }
    box.hidden = false;
    box.querySelector("[data-man]").focus();
    return new Promise((answer) => {
      const close = (move) => {
        box.hidden = true;
        box.onclick = null;
        this.#stopAsking = null;
        back?.focus();
        answer(move);
      };
      this.#stopAsking = () => close(null);
      box.onclick = (event) => {
        const man = event.target.closest("[data-man]")?.dataset.man;
        if (man) close(found.find((move) => move.uci.endsWith(man)) ?? null);
      };
    });
  }

  // A man is put anywhere; of each king there is one.
  #put({ letter, from }, name) {
    const men = new Map(this.#men);
    if (from) men.delete(from);
    if (letter.toLowerCase() === "k") {
      for (const [at, other] of this.#men) if (other === letter) men.delete(at);
    }
    men.set(name, letter);
    this.#change(men);
  }

  #takeOff(name) {
    const men = new Map(this.#men);
    men.delete(name);
    this.#change(men);
  }

  #change(men, side = this.#fen.split(" ")[1]) {
    const fen = `${rowsOf(men)} ${side} - - 0 1`;
    if (fen === this.#fen) return;
    this.#before.push(this.#fen);
    this.#show(fen, true);
    this.#onChange?.(fen);
  }

  #click(event) {
    if (this.#isDropped || event.target.closest(".becomes")) return;
    this.#stopAsking?.();
    const button = event.target.closest("button");
    if (!button) return;
    if (button.dataset.square) this.#touch(button.dataset.square);
    else if (button.dataset.put) this.#touchTray(button);
    else if (button.dataset.off !== undefined) this.#touchOff();
  }

  #touchTray(button) {
    const wasHeld = this.#held?.button === button;
    this.#letGo();
    if (!wasHeld) this.#take(button.dataset.put, null, button);
  }

  #touchOff() {
    const from = this.#held?.from;
    this.#letGo();
    if (from) this.#takeOff(from);
    else tell("Touch a man on the board first, then this.");
  }

  #key(event) {
    if (event.key === "Escape") {
      this.#stopAsking?.();
      this.#letGo();
      return;
    }
    const at = this.#buttons.indexOf(event.target);
    if (at < 0 || event.ctrlKey || event.altKey || event.metaKey) return;
    if (this.#mode === "free" && ["Delete", "Backspace"].includes(event.key)) {
      this.#takeOff(event.target.dataset.square);
      event.preventDefault();
    }
    if (!STEPS[event.key]) return;
    const [right, down] = STEPS[event.key], within = (place) => Math.min(7, Math.max(0, place));
    this.#buttons[8 * within(Math.floor(at / 8) + down) + within((at % 8) + right)].focus();
    event.preventDefault();
  }

  // One square can be reached by Tab: the one that was reached last.
  #rove(target) {
    if (!this.#buttons.includes(target)) return;
    for (const each of this.#buttons) each.tabIndex = each === target ? 0 : -1;
  }

  #down(event) {
    if (event.button !== 0 || !event.isPrimary) return;
    const button = event.target.closest("[data-square], [data-put]");
    if (!button) return;
    this.#press = { button, x: event.clientX, y: event.clientY, isDrag: false };
  }

  #drag(event) {
    const press = this.#press;
    if (!press || !event.isPrimary) return;
    const x = event.clientX - press.x, y = event.clientY - press.y;
    if (!press.isDrag) {
      if (Math.hypot(x, y) < FAR) return;
      const { square, put } = press.button.dataset;
      if (put) { this.#letGo(); this.#take(put, null, press.button); } else this.#hold(square);
      if (!this.#held) { this.#press = null; return; }
      press.isDrag = true;
      this.#press = press;
      press.button.classList.add("dragged");
      this.#root.setPointerCapture(event.pointerId);
    }
    press.button.querySelector(".man").style.transform = `translate(${x}px, ${y}px)`;
  }

  #drop(event) {
    const isDrag = this.#press?.isDrag, held = this.#held;
    if (!isDrag) { this.#press = null; return; }
    this.#letGo();
    this.#isDropped = true; // the click that follows is the drag's own
    setTimeout(() => { this.#isDropped = false; });
    const over = document.elementFromPoint(event.clientX, event.clientY)?.closest("[data-square]");
    if (over && this.#root.contains(over)) {
      if (over.dataset.square !== held.from) this.#putDown(held, over.dataset.square);
    } else if (this.#mode === "free" && held.from) this.#takeOff(held.from);
  }

  #button(name) { return this.#buttons.find((each) => each.dataset.square === name); }

  #turn(element, orientation) {
    element.dataset.orientation = orientation;
    const turn = (parent, part) => parent.append(...[...parent.querySelectorAll(`:scope > ${part}`)].reverse());
    const ranks = this.#root.querySelector(".ranks");
    turn(ranks, "[role=row]");
    ranks.querySelectorAll("[role=row]").forEach((row) => turn(row, "[role=gridcell]"));
    turn(this.#root.querySelector(".files"), "span");
  }
}
