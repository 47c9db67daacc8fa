// Prints what patterns match of texts, as VS Code asks them: told on standard input, as JSON, a
// list of { pattern, flags, text }; for each the list of all that is matched.

import { readFileSync } from "node:fs";

const asked = JSON.parse(readFileSync(0, "utf8"));
const matches = ({ pattern, flags, text }) =>
  [...text.matchAll(new RegExp(pattern, `${flags ?? ""}g`))].map(([all]) => all);
console.log(JSON.stringify(asked.map(matches)));
