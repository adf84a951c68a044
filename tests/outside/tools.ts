import { spawnSync } from "node:child_process";

/** A program or library of someone else's that reads our files. */
export interface Tool {
  name: string;
  /** Debian packages that bring it. */
  packages: string[];
  /** Whether it runs here. */
  present(): boolean;
}

const succeeds = (command: string, args: string[]) => spawnSync(command, args).status === 0;

export const admesh: Tool = {
  name: "admesh",
  packages: ["admesh"],
  present: () => succeeds("admesh", ["--version"]),
};

export const lib3mf: Tool = {
  name: "lib3mf",
  packages: ["lib3mf1", "python3"],
  present: () => succeeds("python3", ["-c", `import ctypes; ctypes.CDLL("lib3MF.so.1")`]),
};

export const tools = [admesh, lib3mf];

/** Installs the missing tools where this user may; gives what is still missing. */
export function installTools(): Tool[] {
  const missing = tools.filter((tool) => !tool.present());
  if (missing.length === 0) return [];
  if (process.getuid?.() === 0 && succeeds("apt-get", ["--version"])) {
    const packages = missing.flatMap((tool) => tool.packages);
    const apt = (args: string[]) =>
      spawnSync("apt-get", args, {
        stdio: "inherit",
        env: { ...process.env, DEBIAN_FRONTEND: "noninteractive" },
      });
    apt(["update", "-qq"]);
    apt(["install", "-y", "-qq", "--no-install-recommends", ...packages]);
  }
  return missing.filter((tool) => !tool.present());
}
