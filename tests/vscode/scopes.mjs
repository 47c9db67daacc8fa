// Prints what VS Code's tokenizer makes of files: a list of files, each of lines, each of tokens
// [start, end, ...scopes], counted in UTF-16 units. Told on standard input, as JSON:
// `packages` (a folder with node_modules), `grammar` (a file) and `files`.

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const told = JSON.parse(readFileSync(0, "utf8"));
const require = createRequire(join(told.packages, "package.json"));
const textmate = require("vscode-textmate");
const oniguruma = require("vscode-oniguruma");

// A pattern that Oniguruma refuses is told on the console alone, by the tokenizer that meets it.
console.warn = console.error = (...words) => {
  throw new Error(words.join(" "));
};

await oniguruma.loadWASM(readFileSync(require.resolve("vscode-oniguruma/release/onig.wasm")));
const grammar = textmate.parseRawGrammar(readFileSync(told.grammar, "utf8"), told.grammar);
const registry = new textmate.Registry({
  onigLib: Promise.resolve({
    createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
    createOnigString: (text) => new oniguruma.OnigString(text),
  }),
  loadGrammar: async () => grammar,
});
const tokenizer = await registry.loadGrammar(grammar.scopeName);

function tokensOf(text) {
  let state = textmate.INITIAL;
  return text.split(/\r\n|\r|\n/).map((line) => {
    const read = tokenizer.tokenizeLine(line, state);
    state = read.ruleStack;
    return read.tokens.map((token) => [token.startIndex, token.endIndex, ...token.scopes]);
  });
}

const texts = told.files.map((file) => readFileSync(file, "utf8"));
console.log(JSON.stringify(texts.map(tokensOf)));
