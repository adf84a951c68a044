import {
  Color,
  LineBasicMaterial,
  MeshLambertMaterial,
  MeshPhongMaterial,
  type Material,
  type Plane,
} from "three";
import type { PreviewSurface } from "../../../shared/preview.ts";
import type { Pattern } from "./hatch.ts";

type Role = PreviewSurface["role"];

/**
 * Clay is warm and dull, plastic cool and a little glossy: told apart by brightness and sheen as
 * well as by hue. Neighbouring parts take turns through tints of one hue; their names tell them apart.
 */
const clayColor = 0xb27c57;
const wallColors = [0x7396aa, 0x96b4c2, 0x5d8097, 0xadc4ce];
const floorColor = 0x8b97a3;
const toolColor = 0xb9b6a4;
const clayCutColor = 0xc99772;

/** Fired clay has grog in it: a faint speckle in the material, fixed in mm. */
const speckle = /* glsl */ `
float grain(vec3 p) {
  vec3 cell = floor(p);
  float h = fract(sin(dot(cell, vec3(12.9898, 78.233, 37.719))) * 43758.5453);
  return h;
}
`;

function clayMaterial(): Material {
  const material = new MeshLambertMaterial({ color: clayColor });
  material.onBeforeCompile = (shader) => {
    shader.vertexShader = shader.vertexShader
      .replace("#include <common>", "#include <common>\nvarying vec3 vClay;")
      .replace("#include <begin_vertex>", "#include <begin_vertex>\nvClay = position;");
    shader.fragmentShader = shader.fragmentShader
      .replace("#include <common>", `#include <common>\nvarying vec3 vClay;\n${speckle}`)
      .replace(
        "#include <color_fragment>",
        `#include <color_fragment>
         float soft = grain(vClay * 0.9) * 0.5 + grain(vClay * 0.37 + 5.0) * 0.5;
         diffuseColor.rgb *= 0.94 + 0.1 * soft;
         diffuseColor.rgb *= 1.0 - 0.22 * step(0.985, grain(vClay * 1.3 + 17.0));`,
      );
  };
  return material;
}

const plastic = (color: number): Material =>
  new MeshPhongMaterial({ color, specular: 0x3c464c, shininess: 26 });

/** Materials of one page; they live as long as it does. */
export class Palette {
  readonly #clay = clayMaterial();
  readonly #walls = wallColors.map(plastic);
  readonly #floor = plastic(floorColor);
  readonly #tool = plastic(toolColor);
  readonly #clayEdge = new LineBasicMaterial({ color: 0x52311b, transparent: true, opacity: 0.75 });
  readonly #plasticEdge = new LineBasicMaterial({ color: 0x20313c, transparent: true, opacity: 0.85 });

  readonly #faces = [this.#clay, ...this.#walls, this.#floor, this.#tool];
  readonly #all = [...this.#faces, this.#clayEdge, this.#plasticEdge];

  constructor() {
    // Faces step back a little, so that edges drawn on them are not half hidden.
    for (const material of this.#faces) {
      material.polygonOffset = true;
      material.polygonOffsetFactor = 1;
      material.polygonOffsetUnits = 1;
    }
  }

  /** `turn` counts the surfaces of the role, so that neighbours differ. */
  face(role: Role, turn: number): Material {
    if (role === "vessel") return this.#clay;
    if (role === "wall") return this.#walls[turn % this.#walls.length];
    return role === "floor" ? this.#floor : this.#tool;
  }

  edge(role: Role): Material {
    return role === "vessel" ? this.#clayEdge : this.#plasticEdge;
  }

  /** How a cut through a piece is drawn. */
  cut(role: Role, turn: number): { tone: Color; pattern: Pattern; turn: number } {
    if (role === "vessel") return { tone: new Color(clayCutColor), pattern: "dots", turn: 0 };
    if (role === "wall") {
      const i = turn % wallColors.length;
      return { tone: new Color(wallColors[i]), pattern: "lines", turn: i };
    }
    if (role === "floor") return { tone: new Color(floorColor), pattern: "crossed", turn: 0 };
    return { tone: new Color(toolColor), pattern: "lines", turn: 1 };
  }

  /** What lies behind one of the planes is not drawn. */
  cutBy(planes: Plane[]): void {
    for (const material of this.#all) material.clippingPlanes = planes;
  }

  /** In a high-contrast theme edges take its text colour and full strength. */
  followTheme(theme: Theme): void {
    for (const [material, color, opacity] of [
      [this.#clayEdge, 0x52311b, 0.75],
      [this.#plasticEdge, 0x20313c, 0.85],
    ] as const) {
      material.color.set(theme.highContrast ? theme.foreground : color);
      material.opacity = theme.highContrast ? 1 : opacity;
    }
  }
}

export interface Theme {
  background: Color;
  foreground: Color;
  dark: boolean;
  highContrast: boolean;
}

/** The editor's theme as the page finds it in its own style. */
export function readTheme(): Theme {
  const style = getComputedStyle(document.documentElement);
  const read = (name: string, otherwise: string) =>
    new Color(style.getPropertyValue(name).trim().slice(0, 7) || otherwise);
  const kind = document.body.dataset.vscodeThemeKind ?? "vscode-dark";
  return {
    background: read("--vscode-editor-background", "#1f1f1f"),
    foreground: read("--vscode-editor-foreground", "#cccccc"),
    dark: kind === "vscode-dark" || kind === "vscode-high-contrast",
    highContrast: kind.startsWith("vscode-high-contrast"),
  };
}
