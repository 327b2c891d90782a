/** A file of the window that did not come when its page was opened: its name belongs to an earlier build, or nobody answers. */

/** As Chromium, Firefox and Safari say it of scripts, and the bundler of styles. */
const SAID = [
  /failed to fetch dynamically imported module/i,
  /error loading dynamically imported module/i,
  /importing a module script failed/i,
  /unable to preload css/i,
];

export function isPartLost(fault: Error): boolean {
  return SAID.some((words) => words.test(fault.message));
}

/** The window itself did not begin: in plain elements, since nothing else is there. */
export function showNotBegun(place: HTMLElement, fault: unknown): void {
  const words = document.createElement('p');
  const why = fault instanceof Error && !isPartLost(fault) ? ` (${fault.message})` : '';
  words.textContent =
    `The window did not come whole${why}: Wetline was stopped, or brought up to date just now. ` +
    'Nothing is lost. See that Wetline runs, then load the window again.';
  const again = document.createElement('button');
  again.type = 'button';
  again.className = 'button';
  again.textContent = 'Load the window again';
  again.addEventListener('click', () => window.location.reload());
  const said = document.createElement('main');
  said.className = 'page-fault';
  const notice = document.createElement('div');
  notice.className = 'notice';
  notice.setAttribute('role', 'alert');
  notice.append(words, again);
  said.append(notice);
  place.replaceChildren(said);
}
