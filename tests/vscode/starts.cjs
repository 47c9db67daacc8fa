// Runs extension.js in an editor of straw and prints what it did there: told on standard input,
// as JSON: `extension` (the file), `command` (the setting), `folder` (the one that is open),
// `then` (the setting's next values), `fails` (what the server's start says, if it fails) and
// `chosen` (the button that is pressed on the first message).

const { readFileSync } = require("node:fs");
const Module = require("node:module");

const told = JSON.parse(readFileSync(0, "utf8"));
const did = [];
const setting = { value: told.command };
const listeners = [];

class LanguageClient {
  constructor(id, name, server, client) {
    did.push({ did: "made", id, name, server, client });
  }

  async start() {
    did.push({ did: "started" });
    if (told.fails !== undefined) {
      throw new Error(told.fails);
    }
  }

  async dispose() {
    did.push({ did: "disposed" });
  }
}

const vscode = {
  commands: {
    executeCommand: (...words) => did.push({ did: "executed", words }),
  },
  window: {
    showErrorMessage: async (message, ...buttons) => {
      did.push({ did: "told", message, buttons });
      const { chosen } = told;
      told.chosen = undefined;
      return chosen;
    },
  },
  workspace: {
    workspaceFolders: told.folder && [{ uri: { scheme: "file", fsPath: told.folder } }],
    getConfiguration: () => ({ get: () => setting.value }),
    onDidChangeConfiguration: (listener) => {
      listeners.push(listener);
      return { dispose: () => {} };
    },
  },
};

const load = Module._load;
Module._load = (name, ...others) => {
  const straw = { vscode, "vscode-languageclient/node": { LanguageClient } };
  return straw[name] ?? load(name, ...others);
};

const settled = () => new Promise((resolve) => setTimeout(resolve, 20));

(async () => {
  const extension = require(told.extension);
  await extension.activate({ subscriptions: [] });
  await settled();
  for (const value of told.then ?? []) {
    setting.value = value;
    listeners.forEach((heard) => heard({ affectsConfiguration: (name) => name === "besom.command" }));
    await settled();
  }
  did.push({ did: "deactivated" });
  await extension.deactivate();
  console.log(JSON.stringify(did));
})();
