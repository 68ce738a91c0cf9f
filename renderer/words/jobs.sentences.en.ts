/** Sentences of the job file's checks and of the drawings' readers, put for the screens: the core speaks of keys and of the command line's options. */
export default [
  [/^marks: expected at least three marks \(a code counts as one\), found (\d+)\.$/, "A job needs at least three marks (a code counts as one); it has $1."],
  [/^marks: expected at least three marks that are not in one line.*$/, "A job needs at least three marks that are not in one line (a code counts as one)."],
  [/^marks\[\d+\]\.inner: expected a number less than outer \((.+)\), found (.+)\.$/, "A ring's inner diameter ($2) has to be less than its outer one ($1)."],
  [/^marks\[\d+\]\.stroke: expected a number less than size \((.+)\), found (.+)\.$/, "A cross's stroke ($2) has to be less than its size ($1)."],
  [/^marks\[\d+\]\.id: expected an id that .+ does not have, found "(.+)"\.$/, "Two marks are called $1."],
  [/^cuts\[\d+\]\.id: expected an id that .+ does not have, found "(.+)"\.$/, "Two cuts are called $1."],
  [/^marks\[\d+\]\.[xy]: expected a centre on the sheet, 0 to (.+), found (.+)\.$/, "A mark lies beside the sheet: its centre at $2 mm is not within 0 to $1 mm."],
  [/^codes\[\d+\]\.[xy]: expected a centre on the sheet, 0 to (.+), found (.+)\.$/, "A code lies beside the sheet: its centre at $2 mm is not within 0 to $1 mm."],
  [/^cuts: expected at least one entry, found a list\.$/, "A job needs at least one cut."],
  [/^(Choose one of its pages) with --page\.$/, "$1."],
  [/^(Export the cut lines as vectors, or choose another page) with --page\.$/, "$1."],
  [/^(The drawing does not say the sheet's size: it was taken from the drawing's extents\.) .*$/, "$1 Check it."],
] as readonly (readonly [RegExp, string])[];
