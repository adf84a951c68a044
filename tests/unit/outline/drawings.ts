/** A kidney, hollow to the right: not star-shaped about its middle. Before it stand what is no closed path. */
export const kidney = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 120 90">
  <defs><path d="M0 0h1v1z"/></defs>
  <path d="M5 5 L10 10"/>
  <g transform="translate(10 5)">
    <path d="M70 8 C30 -12 0 15 0 40 C0 70 35 90 72 70 C88 60 80 50 68 52 C40 56 36 26 66 28 C80 28 88 16 70 8 Z"/>
  </g>
</svg>`;
