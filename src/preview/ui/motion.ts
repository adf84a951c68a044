const query = matchMedia("(prefers-reduced-motion: reduce)");

/** The maker wants nothing on the page to move by itself: said to the system, or to the editor. */
export function reducedMotion(): boolean {
  return query.matches || document.body.classList.contains("vscode-reduce-motion");
}
