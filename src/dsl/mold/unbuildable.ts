import type { Finding } from "../../../shared/finding.ts";

/** A vessel that is described well and still encloses no clay that a mold could be built around. */
export class Unbuildable extends Error {
  override readonly name = "Unbuildable";
  readonly finding: Omit<Finding, "mold">;

  constructor(finding: Omit<Finding, "mold">) {
    super(finding.code);
    this.finding = finding;
  }
}
