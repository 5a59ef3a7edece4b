// Looks out for what is changed: `renew` is called to begin with, for what was changed before, and then at most once
// in a while, and once more after the last; unless `isShown` says that a state is on the screen already.

const PAUSE = 1500;

export function watch(about, renew, isShown = () => false) {
  const source = new EventSource(`/live/${about}`);
  let isWaiting = false, isMissed = false;
  const call = async () => {
    if (isWaiting) { isMissed = true; return; }
    isWaiting = true;
    isMissed = false;
    await renew().catch(() => {});
    setTimeout(() => { isWaiting = false; if (isMissed) call(); }, PAUSE);
  };
  source.onmessage = (event) => { if (!isShown(JSON.parse(event.data).told)) call(); };
  source.onopen = call;
  addEventListener("pagehide", () => source.close());
}
