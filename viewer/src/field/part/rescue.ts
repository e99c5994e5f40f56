// The way to the page that reads what is on the phone when the store does not open. It is
// loaded again for that: an opening that never ended would hold up every other.

const route = "#/rescue";

export function askToRescue(): void {
  history.replaceState(null, "", route);
  location.reload();
}

/** Whether this page was asked to rescue. It is forgotten at once: the next opening is an ordinary one. */
export function isRescue(): boolean {
  if (location.hash !== route) return false;
  history.replaceState(null, "", "#/");
  return true;
}
