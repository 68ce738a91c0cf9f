import type { Guide } from "../guide.ts";

export default {
  title: "Guide",
  intro: "From a finished sheet to a verdict you can act on. Five minutes to read, and every step can be tried with the sample job.",
  contents: "In this guide",
  chapters: [
    { id: "safety", title: "Before you begin", blocks: [
      { kind: "caution", text: "Kerfmark advises; it never drives a machine. Keep clear of a moving beam, blade or belt: stop the machine and follow its manual before you reach in, take a sheet off or change a setting. Lift heavy stacks with help or a lift. What your machine's manual, your local rules and licensed practice say comes before anything written here." },
    ] },
    { id: "photograph", title: "Lay, light and photograph a sheet", blocks: [
      { kind: "steps", items: [
        "Lay the sheet flat, printed side up, on a table darker or lighter than the board. Weigh down a corner that stands up: 1 mm of lift moves what is seen at the rim of a photo.",
        "Have the whole sheet in the picture with all its marks, and little else. Four marks are the least for a photo, three for a scan; every further one makes the figures surer.",
        "Hold the camera straight above the middle. Up to about 15 degrees of tilt costs little; beyond 30 the far edge gets too coarse.",
        "Light it evenly, without your own shadow and without glare on varnish. For cuts that hardly show, add a lamp low from one side: the slit then throws a shadow.",
        "Focus, hold still, take it at the camera's full size. No zoom by software, no filter, no document mode that straightens or crops.",
        "With a flatbed scanner: 300 dpi is plenty for most tolerances, colour, nothing sharpened. Close the lid gently so that the sheet does not slide.",
      ] },
      { kind: "drawing", name: "above", caption: "Straight above, whole sheet, all marks." },
      { kind: "drawing", name: "light", caption: "A low lamp from the side makes a fine slit visible." },
    ] },
    { id: "putin", title: "Put the picture in", blocks: [
      { kind: "text", text: "Open the job first: the sheet's size, marks, cuts and tolerances come from it. A drawing (PDF, SVG, DXF) becomes a job under Jobs. Then, on the Check screen:" },
      { kind: "points", items: [
        "drop pictures anywhere, paste one, choose files, or choose a whole folder. JPEG, PNG, TIFF, WebP, HEIC and AVIF are read.",
        "Camera: a webcam or USB camera shows, before you press, how many marks it sees, how sharp they are and how far it is tilted.",
        "Phone: the desk shows a code that a phone scans once. Its pictures then go to the same run, and the verdict appears on the phone too. The door is open for this session only, and the yellow sign at the side shows it. Over plain HTTP the pictures are not encrypted: use the shop's own network.",
      ] },
      { kind: "text", text: "Many pictures are measured one after the other. Stop keeps the rest waiting; Go on continues. The same picture a second time is not counted twice." },
    ] },
    { id: "verdict", title: "Read the verdict", blocks: [
      { kind: "picture", name: "verdict", caption: "The verdict, its reason in one line, and what to do next." },
      { kind: "terms", rows: [
        ["GOOD", "Every judged value is within its tolerance with a probability of at least 95 %. Carry on; where the panel begins with “Mind”, read that first."],
        ["BAD", "At least one value is beyond its tolerance: the probability that it keeps it is 5 % or less. Stop at the next sheet, set aside what was cut since the last good check, then correct."],
        ["UNSURE", "Too close to the limit to tell with this picture, or no more than about half of a cut was seen in it, or a part where the knife may have left its path was not. See the next chapter."],
        ["NOT MEASURED", "The picture gives no figure that could be trusted, and says why: marks missing, too blurred, another job. Nothing is guessed. Mend what it names and take another."],
      ] },
    ] },
    { id: "unsure", title: "What to do on UNSURE", blocks: [
      { kind: "steps", items: [
        "Where the warnings name a cut that was not found, look at it on the sheet first: it may be dark on dark print, or not be cut at all. Where they name a place that was not seen, look there with a loupe: the slit may be closed, or the knife have left its path.",
        "Take another picture of the same sheet: nearer, flatter, straight above, in even light. A scan is surer than a photo.",
        "Look under “Where the uncertainty comes from”: its longest bar names what to improve. A camera profile (under Cameras) shortens the one of the lens.",
        "Check the sheets cut before and after it.",
        "If it stays unsure, treat the sheet as bad. A limit that is often unsure is tighter than this camera can judge: use a scan, or talk about the tolerance.",
      ] },
    ] },
    { id: "figures", title: "What each figure means", blocks: [
      { kind: "picture", name: "judged", caption: "What was judged, against which limit, and how surely it keeps it." },
      { kind: "terms", rows: [
        ["Worst place", "The 10 mm of cut that sit farthest from where the print says they belong, anywhere on the sheet. This is what the tolerance on position judges."],
        ["± U", "The expanded uncertainty (k = 2): the true value lies within ± U in about 95 of 100 cases. Blur, tilt, lens, print and light all go into it."],
        ["Limit, Surely within", "The job's tolerance, and the probability that the true value keeps it."],
        ["Offset", "How far the whole cut is shifted against the print, seen from the printed side: right and up are +."],
        ["Turn", "How far the cut is turned, in mm per metre; counter-clockwise is +. 1 mm/m shifts a point 1 m away by 1 mm."],
        ["Out of square", "How far the cut's upright leans against its base, in mm per metre."],
        ["Stretch", "How much longer the cut is than the print, across and along, in mm per metre. Paper that has dried or stretched shows here."],
        ["Mean, Largest, Seen", "For each cut or crease: its mean and largest deviation, and the share of its length that was found. Where no more than about half of a cut was found a sheet is UNSURE at best: look at it on the sheet. A crease that was not found is not judged."],
        ["Enlarged lines in the picture", "The deviations drawn larger, by the factor that stands below the picture. Green is within the limit, orange and dashed is beyond."],
      ] },
    ] },
    { id: "correct", title: "Correct the cutter", blocks: [
      { kind: "picture", name: "correction", caption: "What to change, as seen at the cutter." },
      { kind: "text", text: "The correction is what to add to the cutter's own settings, already turned over where the sheet is cut from its back. Parts smaller than their uncertainty are grey: leave them." },
      { kind: "text", text: "One sheet is a weak reason to correct: every sheet scatters, and chasing it makes the next ones worse. Look at the run. It tells scatter from a shift and a shift from a drift, and says when a correction is due." },
      { kind: "caution", text: "Stop the machine and follow its manual before you change a setting. Check the first sheet after every correction." },
    ] },
    { id: "aside", title: "Set sheets aside", blocks: [
      { kind: "text", text: "Sheets between two good checks are clear. Sheets next to a bad or unsure check are suspect, up to the nearest good one. The run tells which sheet to check next, so that the search halves each time, and keeps who decided what and why." },
      { kind: "caution", text: "Take sheets only from a stopped table. Lift heavy stacks with help or a lift." },
    ] },
    { id: "keys", title: "Keys", blocks: [
      { kind: "terms", rows: [
        ["In the picture", "Arrow keys move, + and − zoom, 0 shows everything, W goes to the worst place."],
        ["In the row of pictures", "Arrow keys go from one to the next, Delete takes one off; Undo brings it back."],
        ["Everywhere", "Tab goes on, Enter or Space presses, Escape closes."],
      ] },
    ] },
  ],
} satisfies Guide;
