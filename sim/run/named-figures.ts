/** The shape of figures, by the names studies ask for, and of a row of them under changes. */

/** SI numbers by name; null where the run did not get that far. */
export type Figures = Readonly<Record<string, number | null>>;

/** The figures of a run under each of a row of changes; null where the kart could not run so. */
export interface SweepResult {
  readonly figures: readonly (Figures | null)[];
  /** Why not, variant by variant; empty where there are figures. */
  readonly refusals: readonly string[];
}
