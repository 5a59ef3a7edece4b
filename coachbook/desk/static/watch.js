// Looks out for what is changed: `renew` is called then, at most once in a while, and once more after the last;
// unless `isShown` says that a state is on the screen already.

const PAUSE = 1500;

export function watch(about, renew, isShown = () => false) {
  const source = new EventSource(`/live/${about}`);
  let isWaiting = false, isMissed = false, wasBroken = false;
  const call = async () => {
    if (isWaiting) { isMissed = true; return; }
    isWaiting = true;
    isMissed = false;
    await renew().catch(() => {});
    setTimeout(() => { isWaiting = false; if (isMissed) call(); }, PAUSE);
  };
  source.onmessage = (event) => { if (!isShown(JSON.parse(event.data).told)) call(); };
  source.onerror = () => { wasBroken = true; };
  source.onopen = () => { if (wasBroken) call(); wasBroken = false; };
  addEventListener("pagehide", () => source.close());
}
