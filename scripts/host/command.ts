import { spawn } from "node:child_process";

/** Runs a program to its end. Rejects with the end of what it printed when it fails. */
export function runCommand(
  program: string,
  args: string[],
  options: { cwd?: string; env?: NodeJS.ProcessEnv } = {},
): Promise<string> {
  return new Promise((resolve, reject) => {
    const child = spawn(program, args, { ...options, stdio: ["ignore", "pipe", "pipe"] });
    let output = "";
    child.stdout.on("data", (chunk: Buffer) => (output += chunk.toString()));
    child.stderr.on("data", (chunk: Buffer) => (output += chunk.toString()));
    child.on("error", reject);
    child.on("close", (code) => {
      if (code === 0) resolve(output);
      else reject(new Error(`${program} ${args.join(" ")} ended with ${code}:\n${output.slice(-2000)}`));
    });
  });
}
