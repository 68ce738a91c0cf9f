import { ENGLISH } from "../../core/trend/messages.ts";

/** English, runs: the list, charts, advice, set-aside, events, sampling. */
export default {
  none: "No runs yet. A run begins by itself with the first sheet that is checked of a job.",
  demo: "Show me the demo: a night of 400 checks",
  demoLoading: "Entering the demo's night…",
  checks: (n: string) => `${n} checks`,
  sheetsOf: (n: string) => `stack of ${n}`,
  finished: "finished",
  trayLink: (n: string) => (n === "0" ? "Hot folder and tray" : `Hot folder and tray (${n} waiting)`),

  tabs: { now: "What to do", charts: "Charts", aside: "Set aside", events: "Events", sampling: "How often to check", sheets: "All checks" },
  head: {
    rename: "Name of the run", stack: "Sheets in the stack", stackHelp: "Sheet 1 was cut first and lies at the bottom of the finished stack.", edit: "Name, stack size",
    finish: "Finish this run", reopen: "Open it again", delete: "Delete this run", deleted: "The run is deleted.", report: "Report",
  },
  row: "row",
  sheet: "Sheet",
  sheetN: (n: string) => `sheet ${n}`,
  rowN: (n: string) => `row ${n}`,
  at: { sheet: "sheet", row: "row" },

  actions: { correct: "CORRECT NOW", wait: "WAIT", look: "LOOK FOR THE CAUSE" },
  advice: ENGLISH as Record<keyof typeof ENGLISH, string>,
  now: {
    advice: "Advice", why: "Why", correction: "Add to the cutter's settings", causes: "Likely causes, and what to check", signs: "As seen at the cutter, from the side the blade enters.",
    caution: "Stop the machine and follow its manual before you reach in. Kerfmark advises; it moves nothing.",
    entered: "I have entered this correction", ahead: "What is coming", nothingAhead: "No value is on its way to a limit.",
    reached: (value: string) => `The mean of ${value} has reached its limit.`,
    leftOf: (value: string, n: string, low: string, high: string) => `The mean of ${value} reaches its limit in about ${n} sheets (90 %: ${low} to ${high}).`,
    next: (sheet: string, top: string) => `Check sheet ${sheet} next: number ${top} from the top.`, nothingSuspect: "Nothing in this stack is suspect.",
    expected: (n: string, low: string, high: string, suspects: string) => `About ${n} bad sheets are to be expected among ${suspects} suspects (90 %: ${low} to ${high}).`,
    odd: "Checks that stand out", oddNone: "None.",
    oddValue: (value: string, off: string) => `${value} is ${off} away from that of its neighbours`, oddMark: (mark: string) => `mark ${mark} disagrees with the others`,
    axes: "Words for the cutter's directions", axesHelp: "Your own words for this job, as the operator stands at the table.", plusX: "+X", minusX: "−X", plusY: "+Y", minusY: "−Y", usual: "Use the usual words",
  },
  /** The values as they are told inside a sentence. */
  named: { position: "the worst place", offsetX: "the offset left or right", offsetY: "the offset up or down", offsetLength: "the offset", rotation: "the turn", skew: "the squareness", scaleX: "the stretch across", scaleY: "the stretch along", crease: "the worst crease" },
  directions: { plusX: "to the right", minusX: "to the left", plusY: "away from you", minusY: "towards you" },

  charts: {
    kinds: { individuals: "Single sheets", movingRange: "Sheet to sheet", ewma: "Drift (EWMA)", cusum: "CUSUM", t2: "Offset, both ways (T²)", wear: "Blade metres" },
    kindHelp: {
      individuals: "Every check with its uncertainty. Dashed: control limits from the baseline. Solid: tolerance.",
      movingRange: "How much each check differs from the one before.",
      ewma: "A moving average: the chart to go by for slow drift. Thick: drift chart, whose limits allow for the length of the baseline.",
      cusum: "Sums of what lies above and below the target; steady small shifts add up.",
      t2: "Offset to the right and up taken together: how far a check lies from the middle of the baseline.",
      wear: "The error against the metres that the blade in use had cut. Enter blades under Events.",
    },
    chart: "Chart", value: "Value", label: (kind: string, value: string) => `${kind}, ${value}. The same figures are in the table below.`,
    help: "Left and right arrows walk along the points, Enter opens the sheet, plus and minus zoom, Shift with arrows moves, 0 shows everything.",
    zoomIn: "Zoom in", zoomOut: "Zoom out", left: "Move left", right: "Move right", fit: "See everything", png: "Save as PNG", csv: "Save as CSV", open: "Open this sheet",
    reading: "Reading", uncertainty: "± U", control: "control limit", tolerance: "tolerance", centre: "baseline mean", drift: "drift chart", driftLimit: "drift chart's limit", average: "EWMA", averageLimit: "EWMA limit",
    high: "sum above", low: "sum below", decision: "decision limit", t2: "T²", signal: "signal", bad: "bad or unsure", outlier: "stands out", metres: "Metres cut by the blade",
    noWear: "No blade was entered for this run. Enter it under Events, as a blade change at sheet 1.", nothing: "Nothing to draw: too little was measured.",
    lambda: "Weight of the newest check", baseline: "Limits from row", baselineTo: "To row", baselineHelp: "The stretch in which the process was as it should be. After a correction, state a new one.", baselineUsual: "First 30 rows",
    blade: (name: string) => `blade ${name}`, table: "Figures of the chart", rowsShown: (n: string, all: string) => `The latest ${n} of ${all} rows; all of them are in the CSV.`,
  },
  facts: {
    said: "What the charts say", moved: "The drift chart is outside its limits at the end of the run.", movedBefore: "The drift chart was outside its limits earlier in the run.", steady: "The drift chart is within its limits.",
    signals: "Signals", noSignals: "None.", signal: (chart: string, rule: string, first: string, count: string) => `${chart}: ${rule}; first at ${first}, ${count} in all`,
    rules: {
      "beyond limit": "beyond the limit", "beyond 3 sigma": "beyond 3 sigma", "9 in a row on one side": "9 in a row on one side", "6 in a row steadily rising or falling": "6 in a row rising or falling",
      "14 in a row alternating": "14 in a row alternating", "2 of 3 beyond 2 sigma on one side": "2 of 3 beyond 2 sigma on one side", "4 of 5 beyond 1 sigma on one side": "4 of 5 beyond 1 sigma on one side",
      "15 in a row within 1 sigma": "15 in a row within 1 sigma", "8 in a row with none within 1 sigma, on both sides": "8 in a row with none within 1 sigma",
    } as Record<string, string>,
    drift: "Drift per 100 sheets", leastSquares: "least squares (95 %)", theilSen: "Theil-Sen", mannKendall: "Mann-Kendall, p", left: "Sheets until the mean reaches the limit (90 %)", since: "The drift began at",
    changes: "Changes of level", noChanges: "None found.", change: (at: string, shift: string, p: string) => `at ${at} by ${shift} (p ${p})`, beside: (event: string) => `beside: ${event}`, unlogged: "nothing was entered there",
    capability: "Capability", index: "Index", interval: "95 % interval", out: "Share out of tolerance", centre: "Mean of the baseline", within: "Scatter from sheet to sheet", overall: "Scatter of all", process: "without the measurement's own",
    notes: "Notes",
  },

  events: {
    title: "What happened", none: "Nothing was entered yet. What is entered here stands on the charts and is compared with changes that they show.",
    kinds: { "tool-changed": "blade or tool changed", "pallet-changed": "pallet changed", restart: "restart", correction: "correction entered", "material-lot": "material lot", humidity: "humidity", note: "note" },
    kind: "What", before: "Before sheet", beforeHelp: "The first sheet cut after it. Empty: now.", who: "Who", note: "Note", add: "Enter", delete: "Delete", deleted: "The event is deleted.",
    tool: "Blade or tool: its code", toolHelp: "Typed, scanned, or read from a photo of the code on the tool.", fromPhoto: "Read from a photo", noCode: "No code can be read there. Take the photo nearer and straight, or type it.", toolKind: "Kind of tool", toolKinds: { blade: "blade", crease: "creasing tool", other: "other" }, metresBefore: "Metres it had cut before",
    lot: "Lot", percent: "Relative humidity, %", plus: "Added to the settings", known: "Tools", cut: (metres: string) => `${metres} m cut so far`, since: (from: string, to: string, metres: string) => `sheets ${from} to ${to}: ${metres} m`, when: "When",
  },

  aside: {
    title: "Set aside", sheets: "Sheets", fromTop: "From the top", state: "State", states: { bad: "bad", suspect: "suspect", clear: "clear", "by-eye": "set aside by eye", "re-cut": "cut again, not checked" },
    counts: (bad: string, suspect: string, clear: string) => `${bad} bad, ${suspect} suspect, ${clear} clear`, open: (n: string) => `${n} still to be decided`,
    guessed: (n: string) => `The size of the stack was not entered; the highest sheet number, ${n}, is taken.`,
    unnumbered: (n: string) => `${n} checks carry no sheet number of this stack and do not count here.`, noNumbers: "No numbered sheet has been checked. Give the sheets numbers, by their printed code or by hand.",
    lift: "Take sheets only from a stopped table, never from a running one. Lift heavy stacks with help or a lift, as your shop's rules say.",
    list: "To be set aside or decided", ranges: "By range", one: "Sheet by sheet", show: "Shown", all: "All", onlyOpen: "Still open", what: "What it means for the print", checked: (n: string) => `${n} checks`, decided: "Decision", choose: (sheets: string) => `Decide about ${sheets}`,
    from: "From sheet", to: "To sheet", decision: "Decision", who: "Who", why: "Why", decide: "Decide", byEye: "Set a sheet aside by eye: choose \"set aside\" and say what you saw.",
    decisions: { aside: "set aside", accept: "accept", "re-cut": "cut again", reprint: "print again", scrap: "scrap", concession: "concession" },
    history: "Decisions so far", takenBack: "The decision is taken back.", takeBack: "Take back", range: (from: string, to: string) => (from === to ? `sheet ${from}` : `sheets ${from} to ${to}`),
    csv: "Save as CSV", print: "Print list with tick boxes", printTitle: "Set-aside list", printNow: "Print", tick: "Done", code: "Code", cutFrom: (job: string, run: string) => `${job}, ${run}`, printedOn: (when: string) => `as of ${when}`,
    map: "The stack, top at the right", sides: { left: "left", right: "right", top: "upper", bottom: "lower" },
    white: (feature: string, side: string, mm: string) => `${feature}: white edge of ${mm} on the ${side} side`, cutInto: (feature: string, side: string, mm: string) => `${feature}: cut ${mm} into the safe zone on the ${side} side`,
    bleedLeft: (feature: string, side: string, mm: string) => `${feature}: ${mm} of bleed left on the ${side} side`, safeLeft: (feature: string, side: string, mm: string) => `${feature}: ${mm} to the safe zone left on the ${side} side`,
  },

  sampling: {
    title: "How often to check", every: (n: string) => (n === "1" ? "Check every sheet." : `Check every ${n} sheets.`), by: (value: string) => `What asks for it most: ${value}.`,
    few: "At least eight checks are needed before anything can be said.", limits: "The job states no tolerance, so nothing can be said.",
    bad: "A bad sheet costs as much as so many checks", faults: "Sudden faults in 1,000 sheets (a slipped stop, a broken blade)", use: "Work it out",
    present: "As checked so far", advised: "As advised", interval: "Sheets from check to check", badPerFault: "Bad sheets before a sudden fault is found", outAtNext: "Share expected out of tolerance at the next check", cost: "Cost per sheet, in checks",
    basis: "It stands on", level: "Level now", drift: "Drift per 100 sheets", scatter: "Scatter from sheet to sheet", limit: "Tolerance",
    first: "The process has moved: correct it first. What is said here holds for the run as it is.",
    model: "Model: a check costs 1; a sudden fault comes with the same chance at each sheet and spoils all sheets until the next check; scatter is normal about a level that drifts evenly. Of all intervals up to 400 sheets the cheapest is advised.",
  },

  sheets: { title: "All checks", taken: "Taken", position: "Worst place", offset: "Offset right, up", open: "Open", again: "cut again" },
  recorded: {
    back: "Back to the run", previous: "Sheet before", next: "Sheet after", gone: "The picture is no longer where it was. The record is whole.", history: "History of this sheet", renumber: "Sheet number", saved: "Saved.",
    delete: "Delete this check", deleted: "The check is deleted.", noNumber: "Without a number", checkedAt: (when: string) => `checked ${when}`,
  },

  records: {
    title: "Records", link: "Records", where: (folder: string) => `The records lie in ${folder}.`, pictures: "Pictures", inPlace: "Leave them where they are", copy: "Keep a copy of each", picturesHelp: "For pictures taken in from now on.",
    backup: "Back up now", backedUp: (path: string) => `Backed up to ${path}`, backupHelp: "Pictures are not in the backup. To put one back, close Kerfmark and run: kerfmark library restore FILE",
    verify: "Look through all records", whole: (runs: string, checks: string, tray: string) => `The records are whole. Runs: ${runs}, checks: ${checks}, pictures in the tray: ${tray}.`, problems: "Something is wrong:", remarks: "Worth knowing:",
    csv: "All checks as CSV", deletions: "Deleted lately", none: "Nothing was deleted.", undone: "It is back.",
    tools: "Blades and creasing tools", toolsHelp: "A tool that is gone can be taken off this list; what it cut stays on record.", noTools: "None has been entered yet: enter one as it is changed, on a run's Events.", toolDeleted: (name: string) => `${name} is off the list.`,
    subjects: { job: "job", run: "run", check: "check", event: "event", tool: "tool", picture: "picture in the tray", preset: "import preset", profile: "camera profile" }, deletion: (subject: string, n: string, when: string) => `${subject} ${n}, deleted ${when}`,
  },

  tray: {
    title: "Hot folder and tray", hot: "Hot folder", hotHelp: "Every picture that comes into this folder is measured and entered in the run of its job. Its files are only read.", folder: "Folder", folderHelp: "Choose it, or write its full path.", chooseFolder: "Choose a folder", takeFolder: "Take this folder", folderUp: "One folder up", noFolders: "There are no folders in this one.",
    jobs: "Jobs that may be in the stack", allJobs: "all jobs", noJobs: "There is no job in the library yet: open one on the Check screen first.",
    numbering: "Sheets without a number", none: "leave them without", count: "count them", first: "First number", step: "Step", start: "Start watching", stop: "Stop watching",
    watching: (folder: string) => `Watching ${folder}`, idle: "Not watching.", counts: (entered: string, tray: string, known: string) => `${entered} entered, ${tray} into the tray, ${known} known already`, waiting: (n: string) => `${n} being measured`, latest: "Latest", taken: { check: "entered", tray: "in the tray", known: "known already", changed: "changed while measured", gone: "gone" },
    tray: "Tray", empty: "The tray is empty.", help: "What could not be measured. Nothing is dropped: measure it again, say which job and sheet it is, or put it aside.",
    job: "Job", byCode: "by its code", sheet: "Sheet number", again: "Measure again", dismiss: "Put aside", dismissed: "Put aside.", entered: (run: string) => `Measured and entered in run ${run}.`, still: "It still cannot be measured.", all: "Measure all again",
  },
};
