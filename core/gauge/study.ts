import { fCdf } from "../statistics/distributions.ts";

/** One reading of a gauge study: which part (sheet), who took it, and the value. */
export interface Reading {
  readonly part: string;
  readonly operator: string;
  readonly value: number;
}

export interface AnovaRow {
  readonly ss: number;
  readonly dof: number;
  readonly ms: number;
}

/** A component of variation: its variance, standard deviation, share of the variance and share of the total deviation, per cent. */
export interface Component {
  readonly variance: number;
  readonly sd: number;
  readonly contribution: number;
  readonly ofStudy: number;
  /** 6 sd / tolerance, per cent, where a tolerance was given. */
  readonly ofTolerance?: number;
}

/** A crossed gauge study by analysis of variance. */
export interface GaugeStudy {
  readonly parts: number;
  readonly operators: number;
  readonly repeats: number;
  readonly anova: Readonly<Record<"part" | "operator" | "interaction" | "repeatability", AnovaRow>>;
  readonly pInteraction: number | null;
  /** Whether the interaction was pooled with repeatability, as its p is above POOL_FROM. */
  readonly pooled: boolean;
  readonly components: Readonly<Record<"gauge" | "repeatability" | "reproducibility" | "part" | "total", Component>>;
  /** Number of distinct categories: 1.41 part sd / gauge sd, rounded down, at least 1; null where the gauge does not scatter. */
  readonly ndc: number | null;
}

/** Variance, against the square of what is measured, that rounding alone may give. */
const ROUNDING = 1e-24;

/** p of the interaction above which it is taken for repeatability (AIAG MSA, 4th ed., as usually applied). */
const POOL_FROM = 0.25;

/**
 * Repeatability and reproducibility from every operator having measured every part the same number of times (crossed,
 * balanced): two-way analysis of variance with random effects, variances below zero taken as zero. AIAG MSA (4th ed.),
 * appendix. `tolerance` is the whole width. A reason is returned where the study is not crossed and balanced.
 */
export function gaugeStudy(readings: readonly Reading[], tolerance?: number): GaugeStudy | { reason: string } {
  const parts = [...new Set(readings.map((r) => r.part))];
  const operators = [...new Set(readings.map((r) => r.operator))];
  const cells = cellsOf(readings, parts, operators);
  const repeats = cells[0]?.[0]?.length ?? 0;
  if (parts.length < 2) return { reason: "a study needs at least two parts" };
  if (operators.length < 2) return { reason: "a study needs at least two operators; for one, repeat the parts as if by two" };
  for (const [i, part] of parts.entries()) {
    for (const [j, operator] of operators.entries()) {
      const n = cells[i][j].length;
      if (n !== repeats) return { reason: `operator ${operator} measured part ${part} ${n} times, but operator ${operators[0]} measured part ${parts[0]} ${repeats} times` };
    }
  }
  if (repeats < 2) return { reason: "every operator must measure every part at least twice" };
  return analyse(cells, tolerance);
}

function cellsOf(readings: readonly Reading[], parts: readonly string[], operators: readonly string[]): number[][][] {
  const partAt = new Map(parts.map((p, i) => [p, i]));
  const operatorAt = new Map(operators.map((o, j) => [o, j]));
  const cells = parts.map(() => operators.map((): number[] => []));
  for (const r of readings) cells[partAt.get(r.part) ?? 0][operatorAt.get(r.operator) ?? 0].push(r.value);
  return cells;
}

function analyse(cells: readonly (readonly (readonly number[])[])[], tolerance: number | undefined): GaugeStudy {
  const [p, o, r] = [cells.length, cells[0].length, cells[0][0].length];
  const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;
  const grand = mean(cells.flat(2));
  const partMeans = cells.map((row) => mean(row.flat()));
  const operatorMeans = cells[0].map((_, j) => mean(cells.flatMap((row) => row[j])));
  const square = (values: readonly number[]): number => values.reduce((sum, v) => sum + v * v, 0);
  const row = (ss: number, dof: number): AnovaRow => ({ ss, dof, ms: ss / dof });
  const anova = {
    part: row(o * r * square(partMeans.map((m) => m - grand)), p - 1),
    operator: row(p * r * square(operatorMeans.map((m) => m - grand)), o - 1),
    interaction: row(r * square(cells.flatMap((c, i) => c.map((values, j) => mean(values) - partMeans[i] - operatorMeans[j] + grand))), (p - 1) * (o - 1)),
    repeatability: row(square(cells.flatMap((c) => c.flatMap((values) => values.map((v) => v - mean(values))))), p * o * (r - 1)),
  };
  const f = anova.interaction.ms / anova.repeatability.ms;
  // Readings that repeat to the last digit scatter by rounding only, which says nothing.
  const nothing = ROUNDING * (anova.part.ms + grand * grand);
  const pInteraction = anova.repeatability.ms > nothing ? 1 - fCdf(f, anova.interaction.dof, anova.repeatability.dof) : null;
  const pooled = pInteraction !== null && pInteraction > POOL_FROM;
  const error = pooled
    ? (anova.interaction.ss + anova.repeatability.ss) / (anova.interaction.dof + anova.repeatability.dof)
    : anova.repeatability.ms;
  const against = pooled ? error : anova.interaction.ms;
  const positive = (v: number): number => Math.max(0, v);
  const interaction = pooled ? 0 : positive((anova.interaction.ms - error) / r);
  const reproducibility = positive((anova.operator.ms - against) / (p * r)) + interaction;
  const part = positive((anova.part.ms - against) / (o * r));
  const gauge = error + reproducibility;
  const total = gauge + part;
  const component = (variance: number): Component => ({
    variance, sd: Math.sqrt(variance), contribution: (100 * variance) / total, ofStudy: 100 * Math.sqrt(variance / total),
    ofTolerance: tolerance === undefined ? undefined : (600 * Math.sqrt(variance)) / tolerance,
  });
  return {
    parts: p, operators: o, repeats: r, anova, pInteraction, pooled,
    components: {
      gauge: component(gauge), repeatability: component(error), reproducibility: component(reproducibility), part: component(part), total: component(total),
    },
    ndc: gauge > nothing ? Math.max(1, Math.floor(1.41 * Math.sqrt(part / gauge))) : null,
  };
}
