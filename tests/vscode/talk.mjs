// Opens a file in a language server, by the library of VS Code's own clients, and prints what the
// server tells of it: told on standard input, as JSON: `packages`, `command`, `args`, `folder`,
// `file` and `text`. Prints `diagnostics`, `legend` and `data` of its semantic tokens, `code`.

import { spawn } from "node:child_process";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const told = JSON.parse(readFileSync(0, "utf8"));
const packages = createRequire(join(told.packages, "package.json"));
const require = createRequire(packages.resolve("vscode-languageclient"));
const protocol = require("vscode-languageserver-protocol/node");

const server = spawn(told.command, told.args, { cwd: told.folder, stdio: ["pipe", "pipe", "inherit"] });
const ended = new Promise((resolve) => server.once("exit", resolve));
const connection = protocol.createProtocolConnection(
  new protocol.StreamMessageReader(server.stdout),
  new protocol.StreamMessageWriter(server.stdin),
);
const uri = pathToFileURL(told.file).href;
const diagnostics = new Promise((resolve) => {
  connection.onNotification(protocol.PublishDiagnosticsNotification.type, (published) => {
    if (published.uri === uri && published.diagnostics.length > 0) {
      resolve(published.diagnostics);
    }
  });
});
connection.listen();

const { capabilities } = await connection.sendRequest(protocol.InitializeRequest.type, {
  processId: process.pid,
  rootUri: pathToFileURL(told.folder).href,
  workspaceFolders: [{ uri: pathToFileURL(told.folder).href, name: "home" }],
  capabilities: { textDocument: { publishDiagnostics: {} } },
});
await connection.sendNotification(protocol.InitializedNotification.type, {});
await connection.sendNotification(protocol.DidOpenTextDocumentNotification.type, {
  textDocument: { uri, languageId: "chores", version: 1, text: told.text },
});
const found = await diagnostics;
const { data } = await connection.sendRequest(protocol.SemanticTokensRequest.type, {
  textDocument: { uri },
});
await connection.sendRequest(protocol.ShutdownRequest.type);
await connection.sendNotification(protocol.ExitNotification.type);
const code = await ended;
const { legend } = capabilities.semanticTokensProvider;
console.log(JSON.stringify({ diagnostics: found, legend, data, code }));
