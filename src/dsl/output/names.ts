/** Names that Windows keeps for devices, with any ending. */
const RESERVED = /^(con|prn|aux|nul|com\d|lpt\d)$/i;

/**
 * A name that is a file name on every system: letters and digits of any script, `-` and `_`;
 * everything else becomes `-`. A name with nothing left becomes `fallback`.
 */
export function fileName(name: string, fallback: string): string {
  const safe = name
    .normalize("NFC")
    .replace(/[^\p{L}\p{N}_-]+/gu, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 80);
  if (safe === "") return fallback;
  return RESERVED.test(safe) ? `${safe}-` : safe;
}

/** File names for a list of names, apart from each other also where upper and lower case are one: `-2`, `-3` follow the later ones. */
export function fileNames(names: readonly string[], fallback: string): string[] {
  const taken = new Set<string>();
  return names.map((name) => {
    const base = fileName(name, fallback);
    let free = base;
    for (let n = 2; taken.has(free.toLowerCase()); n++) free = `${base}-${n}`;
    taken.add(free.toLowerCase());
    return free;
  });
}
