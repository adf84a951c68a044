import type { Target } from "../../../shared/place.ts";
import type { Body } from "../kit/body.ts";
import type { Section } from "../kit/outline.ts";

export interface Shapers {
  /** The section below the place and the one above it; else the call that made the shape. */
  sections: Target[];
  /** Calls that moved, scaled and drew their outlines. */
  outlines: Target[];
}

/**
 * What in the design shapes the side of a body at a height; none twice.
 *
 * @param z fired mm; below the lowest section or above the highest the nearest span counts
 */
export function shapedBy(body: Body, z: number): Shapers {
  const { sections, solid } = body;
  if (sections.length >= 2) {
    let low = 0;
    while (low + 2 < sections.length && sections[low + 1].z <= z) low++;
    const span = [sections[low], sections[low + 1]];
    return {
      sections: distinct(span.map(sectionTarget)),
      outlines: distinct(span.flatMap(outlineTargets)),
    };
  }
  const shape = [{ call: body.call }];
  switch (solid?.kind) {
    case "sweep": {
      const { call, origin } = solid.outline;
      return { sections: shape, outlines: distinct([{ call }, { call: origin }]) };
    }
    case "trim":
      // The cut itself is an opening; the side is that of what was trimmed.
      return shapedBy(solid.body, z);
    default:
      return { sections: shape, outlines: [] };
  }
}

function sectionTarget({ call, path }: Section): Target {
  return path.length > 0 ? { call, argument: 0, path: [...path] } : { call };
}

/** The last call that moved or scaled the outline, and the one that drew it; a turned body has its points alone. */
function outlineTargets({ outline, call }: Section): Target[] {
  return [outline.call, outline.origin].filter((one) => one !== call).map((one) => ({ call: one }));
}

function distinct(targets: readonly Target[]): Target[] {
  return [...new Map(targets.map((target) => [JSON.stringify(target), target])).values()];
}
