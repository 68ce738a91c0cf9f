/** English, gauge study: the plan, the readings, the results, the length check. */
export default {
  title: "Gauge study",
  intro: "How much of what is measured is the measuring itself? A few sheets are pictured by every operator several times; the scatter tells. Ten sheets, two or three operators and two or three repeats are usual.",
  back: "Cameras and scanners",
  noJob: "Open the job of the sheets first, under Check. The pictures are measured against it and entered in no run.",
  job: (name: string) => `Measured against the job “${name}”.`,
  plan: {
    title: "Plan", sheets: "Sheets", operators: "Operators", repeats: "Readings of each sheet by each operator", names: "Names, divided by commas", value: "Value looked at",
    tolerance: (unit: string) => `Whole width of the tolerance, ${unit}`, start: "Use this plan", change: "Change the plan", clear: "Start anew",
    clearSure: "This removes all readings of the study. Start anew?", count: (n: string) => `${n} pictures in all`,
    few: "At least two sheets, two operators and two readings are needed.", kept: "Readings whose sheet and operator stay in the plan are kept.",
  },
  values: { x: "Offset, right", y: "Offset, up", rotation: "Turn", skew: "Out of square", scaleX: "Stretch across", scaleY: "Stretch along", position: "Worst place" },
  take: {
    title: "Readings", next: (operator: string, sheet: string, repeat: string) => `Next: ${operator} pictures sheet ${sheet}, reading ${repeat}`,
    how: "Lay the sheet anew and take the picture anew every time. The order is mixed, so that nobody goes by memory.",
    add: "Put in this picture", several: "or several in this order", all: "All readings are there.", of: (done: string, all: string) => `${done} of ${all}`,
    sheet: "Sheet", reading: (operator: string, repeat: string) => `${operator} ${repeat}`, remove: (sheet: string, operator: string, repeat: string) => `Remove the reading of sheet ${sheet}, ${operator} ${repeat}`,
    removed: "The reading is removed.",
    measuring: (name: string) => `Measuring ${name}…`, reference: "True value", referenceNote: "Where a sheet's true value is known (a measured artefact), give it: bias and linearity follow from it.",
  },
  result: {
    title: "Result", wait: "The result appears when every reading is there.", impossible: (reason: string) => `No result: ${reason}.`,
    good: "Fit for this tolerance: the measuring takes up less than 10 % of it.", fair: "Usable for this tolerance: the measuring takes up 10 to 30 % of it.", poor: "Not fit for this tolerance: the measuring takes up more than 30 % of it.",
    rule: "10 % and 30 % are common practice.", ofTolerance: "of the tolerance", source: "Source", sd: "Scatter (1 s)", variance: "% of variance", study: "% of spread", tolerance: "% of tolerance",
    rows: { gauge: "Measuring, all", repeatability: "Repeatability (same operator again)", reproducibility: "Reproducibility (between operators)", part: "Between sheets", total: "Total" },
    ndc: (n: string) => `The sheets are told apart in ${n} classes (5 or more are wanted where sheets are to be compared).`, ndcNone: "The measuring does not scatter at all.",
    pooled: "Operators and sheets do not interact; that part is counted as repeatability.", interacts: "Some operators read some sheets differently (interaction).",
    bias: "Bias", biasText: (v: string, low: string, high: string) => `${v} (95 %: ${low} to ${high})`, linearity: "Linearity", linearityText: (v: string, low: string, high: string) => `error grows by ${v} per unit (95 %: ${low} to ${high})`,
    anova: "Analysis of variance", dof: "Degrees of freedom", ss: "Sum of squares", ms: "Mean square", sources: { part: "Sheets", operator: "Operators", interaction: "Sheets × operators", repeatability: "Repeatability" },
  },
  length: {
    title: "Length check", how: "Measure known lengths (a steel rule, a gauge plate) and enter both. Every error must stay within A + L/K.",
    a: "A, mm", k: "K", reference: "True length, mm", value: "Measured, mm", add: "Add", remove: (l: string) => `Remove the length ${l}`, error: "Error", permitted: "Permitted",
    passed: (n: string) => `Passed: all ${n} errors lie within A + L/K.`, failed: (l: string) => `Failed: at ${l} mm the error is larger than permitted.`,
    chart: "Errors over length, with the limits plus and minus (A + L/K)", none: "No lengths yet.",
  },
};
