// The boards of the wall, or one at large: shown anew when a move is made, and now and then, for a board at which
// nobody moves.

import { partOf, put } from "./desk.js";
import { watch } from "./watch.js";

const SOMETIMES = 20000;
const part = document.querySelector("#wall, #large");

async function renew() {
  if (document.activeElement?.closest("#large form")) return; // the coach is about to press something
  const answer = await fetch(location.href, { headers: { "X-Part": "yes" } });
  const text = await answer.text();
  if (!answer.ok || !partOf(text, part.id)) return;
  const chosen = document.querySelector("#large select")?.value;
  put(part.id, text);
  if (chosen) document.querySelector("#large select").value = chosen;
}

watch(part.dataset.watched, renew);
setInterval(() => renew().catch(() => {}), SOMETIMES);
