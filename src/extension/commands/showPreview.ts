import type { Painted } from "../panel/preview.ts";
import type { Parts } from "../parts.ts";
import { pickDesign, readArgument } from "./target.ts";

/**
 * Opens the preview beside the code. Gives what it has painted once that is on the screen, or
 * undefined when there is no design or it may not run.
 */
export async function showPreview(parts: Parts, argument: unknown): Promise<Painted | undefined> {
  const uri = await pickDesign(readArgument(argument), parts.previews);
  if (!uri) return undefined;
  const preview = parts.previews.show(uri);
  const design = parts.designs.get(uri);
  if (design && !parts.designs.byThemselves) design.evaluateSoon();
  return preview.painted();
}
