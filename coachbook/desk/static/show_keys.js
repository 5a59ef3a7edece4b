// The arrow keys go through a line that is shown, as its links do.

addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
  const way = { ArrowLeft: "prev", ArrowRight: "next" }[event.key];
  const link = way && document.querySelector(`a[rel="${way}"]`);
  if (!link) return;
  event.preventDefault();
  link.click();
});
