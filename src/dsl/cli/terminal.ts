/** Where a command reads its place in the world and writes what it has to say. */
export interface Terminal {
  cwd: string;
  /** Results. */
  out(text: string): void;
  /** Findings, problems and what a design writes with `console`. */
  err(text: string): void;
  /** Whether someone watches: tables and closing words on `out`, progress on `err`. */
  outIsTerminal: boolean;
  errIsTerminal: boolean;
}

export interface Progress {
  show(done: number, total: number, what: string): void;
  /** Takes the line away. */
  end(): void;
}

/** One line that is written over; nothing at all where no one watches. */
export function progressOn(terminal: Terminal): Progress {
  if (!terminal.errIsTerminal) return { show: () => undefined, end: () => undefined };
  const clear = "\r\x1b[2K";
  return {
    show: (done, total, what) => terminal.err(`${clear}[${done}/${total}] ${what}`),
    end: () => terminal.err(clear),
  };
}
