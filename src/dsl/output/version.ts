/** Name and version of this kit, as manifests and 3MF files carry them. */
export const KIT = "slabwright 0.1.0";

/** Name and version of the solid kernel: its results belong to a version. */
export const KERNEL = "manifold-3d 3.5.4";
