/** A surface's material: what it does with sound and with light. */
export interface Material {
  readonly id: string;
  readonly name: string;
  /** Row of the published table. */
  readonly row: string;
  /** Random-incidence absorption at 125, 250, 500, 1000, 2000 and 4000 Hz. */
  readonly absorbs: readonly [number, number, number, number, number, number];
  /** Share of light that it throws back. Common practice (lighting design's 70, 50 and 20 % for ceiling, wall and floor). */
  readonly reflects: number;
}

// Absorption: M. Vorländer, Auralization (Springer 2008), Appendix, as kept in pyroomacoustics (MIT), data/materials.json;
// the whole table is test/published/acoustics/absorption_coefficients.json. Each row: id, name, row, bands, reflectance.
const rows: readonly (readonly [string, string, string, Material["absorbs"], number])[] = [
  [
    "plasterboard",
    "plasterboard on studs, painted",
    "plasterboard",
    [0.15, 0.1, 0.06, 0.04, 0.04, 0.05],
    0.7,
  ],
  ["brick", "rendered brickwork", "brickwork", [0.01, 0.02, 0.02, 0.03, 0.03, 0.04], 0.5],
  [
    "painted-brick",
    "smooth brickwork, painted",
    "smooth_brickwork_flush_pointing",
    [0.01, 0.01, 0.02, 0.02, 0.02, 0.02],
    0.5,
  ],
  [
    "bare-brick",
    "bare brickwork, deep joints",
    "smooth_brickwork_10mm_pointing",
    [0.08, 0.09, 0.12, 0.16, 0.22, 0.24],
    0.25,
  ],
  ["rough-plaster", "brick, rough stucco", "brick_wall_rough", [0.03, 0.03, 0.03, 0.04, 0.05, 0.07], 0.5],
  ["limestone", "limestone", "limestone_wall", [0.02, 0.02, 0.03, 0.04, 0.05, 0.05], 0.4],
  ["concrete", "smooth concrete", "unpainted_concrete", [0.01, 0.01, 0.02, 0.02, 0.02, 0.05], 0.3],
  ["rough-concrete", "rough concrete", "rough_concrete", [0.02, 0.03, 0.03, 0.03, 0.04, 0.07], 0.25],
  ["lime-wash", "rough lime wash", "rough_lime_wash", [0.02, 0.03, 0.04, 0.05, 0.04, 0.03], 0.7],
  ["tiles", "smooth tiles", "ceramic_tiles", [0.01, 0.01, 0.01, 0.02, 0.02, 0.02], 0.6],
  ["marble", "marble", "marble_floor", [0.01, 0.01, 0.01, 0.02, 0.02, 0.02], 0.4],
  [
    "wood-panelling",
    "wood lining, 12 mm on a frame",
    "wooden_lining",
    [0.27, 0.23, 0.22, 0.15, 0.1, 0.07],
    0.3,
  ],
  ["thin-plywood", "thin plywood panelling", "plywood_thin", [0.42, 0.21, 0.1, 0.08, 0.06, 0.06], 0.35],
  ["wooden-door", "solid wooden door", "wooden_door", [0.14, 0.1, 0.06, 0.08, 0.1, 0.1], 0.3],
  ["window-glass", "window glass", "glass_window", [0.1, 0.05, 0.04, 0.03, 0.03, 0.03], 0.1],
  [
    "double-glazing",
    "double glazing, wide gap",
    "double_glazing_30mm",
    [0.15, 0.05, 0.03, 0.03, 0.02, 0.02],
    0.15,
  ],
  ["leaded-glass", "leaded glass", "lead_glazing", [0.3, 0.2, 0.14, 0.1, 0.05, 0.05], 0.1],
  ["wood-on-joists", "16 mm wood on 40 mm studs", "wood_16mm", [0.18, 0.12, 0.1, 0.09, 0.08, 0.07], 0.25],
  ["boards-on-planks", "wood, 16 mm on planks", "wood_1.6cm", [0.18, 0.12, 0.1, 0.09, 0.08, 0.07], 0.25],
  [
    "linoleum",
    "linoleum, rubber or cork on concrete",
    "linoleum_on_concrete",
    [0.02, 0.03, 0.03, 0.03, 0.03, 0.02],
    0.2,
  ],
  ["carpet-thin", "thin carpet on concrete", "carpet_thin", [0.02, 0.04, 0.08, 0.2, 0.35, 0.4], 0.15],
  [
    "carpet",
    "6 mm carpet on closed-cell foam",
    "carpet_6mm_closed_cell_foam",
    [0.03, 0.09, 0.25, 0.31, 0.33, 0.44],
    0.15,
  ],
  [
    "carpet-soft",
    "6 mm carpet on open-cell foam",
    "carpet_6mm_open_cell_foam",
    [0.03, 0.09, 0.2, 0.54, 0.7, 0.72],
    0.15,
  ],
  [
    "carpet-deep",
    "9.5 mm carpet on a hair pad",
    "carpet_tufted_9.5mm",
    [0.1, 0.4, 0.62, 0.7, 0.63, 0.88],
    0.15,
  ],
  [
    "curtain-light",
    "light curtain, 9 cm from the wall",
    "curtains_0.2",
    [0.05, 0.06, 0.39, 0.63, 0.7, 0.73],
    0.4,
  ],
  [
    "curtain-cotton",
    "cotton curtain in folds",
    "curtains_cotton_0.5",
    [0.3, 0.45, 0.65, 0.56, 0.59, 0.71],
    0.3,
  ],
  ["curtain-velvet", "tight velvet curtain", "curtains_velvet", [0.05, 0.12, 0.35, 0.45, 0.38, 0.36], 0.1],
  [
    "curtain-heavy",
    "heavy curtain in folds, 15 cm from the wall",
    "curtains_fabric_folded",
    [0.12, 0.6, 0.98, 1.0, 1.0, 1.0],
    0.15,
  ],
  ["chair-wood", "wooden chairs", "chairs_wooden", [0.05, 0.08, 0.1, 0.12, 0.12, 0.12], 0.25],
  ["chair-cloth", "chairs with cloth", "chairs_upholstered_cloth", [0.44, 0.6, 0.77, 0.89, 0.82, 0.7], 0.2],
  [
    "chair-leather",
    "chairs with leather",
    "chairs_upholstered_leather",
    [0.4, 0.5, 0.58, 0.61, 0.58, 0.5],
    0.15,
  ],
  [
    "people",
    "people on wooden chairs, one to a square metre",
    "audience_wooden_chairs_1_m2",
    [0.16, 0.24, 0.56, 0.69, 0.81, 0.78],
    0.3,
  ],
  [
    "absorber-panel",
    "cloth-covered absorber, 50 mm",
    "rockwool_50mm_80kgm3",
    [0.22, 0.6, 0.92, 0.9, 0.88, 0.88],
    0.4,
  ],
  ["studio-panel", "cloth-covered panel", "panel_fabric_covered_6pcf", [0.46, 0.93, 1.0, 1.0, 1.0, 1.0], 0.4],
  [
    "ceiling-plasterboard",
    "plasterboard ceiling on battens",
    "ceiling_plasterboard",
    [0.2, 0.15, 0.1, 0.08, 0.04, 0.02],
    0.7,
  ],
  [
    "ceiling-tiles",
    "fissured ceiling tiles",
    "ceiling_fissured_tile",
    [0.49, 0.53, 0.53, 0.75, 0.92, 0.99],
    0.7,
  ],
];

/** Materials that a plan may name. */
export const materials: readonly Material[] = rows.map(([id, name, row, absorbs, reflects]) => ({
  id,
  name,
  row,
  absorbs,
  reflects,
}));

const byId = new Map(materials.map((material) => [material.id, material]));

/** The material of an id, or undefined where no such is known. */
export const materialOf = (id: string): Material | undefined => byId.get(id);
