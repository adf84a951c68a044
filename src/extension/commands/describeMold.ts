import { describeDesign } from "../describe/text.ts";
import type { Parts } from "../parts.ts";
import { pickDesign, readArgument, trusted } from "./target.ts";

/** Opens everything that is known of a design's molds as plain text, and gives that text. */
export async function describeMold(parts: Parts, argument: unknown): Promise<string | undefined> {
  const uri = await pickDesign(readArgument(argument), parts.previews);
  if (!uri || !trusted()) return undefined;
  const { name, state } = await parts.designs.use(uri, async (design) => {
    return { name: design.name, state: await design.upToDate() };
  });
  const { molds = [], findings, problem } = state;
  const text = describeDesign({ name, molds, findings, problem }, parts.settings.units);
  await parts.descriptions.show(uri, name, text);
  return text;
}
