// Starts `besom language-server` for the chore books of a window, and says what to do without it.

"use strict";

const { execFile } = require("node:child_process");
const { homedir } = require("node:os");
const path = require("node:path");
const vscode = require("vscode");
const { LanguageClient } = require("vscode-languageclient/node");

const SETTING = "besom.command";
const OPEN_SETTING = "Open the setting";
const TRY_AGAIN = "Try again";
const ARGS = ["language-server"];
const OPTIONS = {
  documentSelector: [
    { scheme: "file", language: "chores" },
    { scheme: "untitled", language: "chores" },
  ],
};
const LONGEST_TRIAL = 20_000;

let client;
// One start or stop at a time: a second one waits for the first.
let turn = Promise.resolve();

function activate(context) {
  context.subscriptions.push(
    vscode.workspace.onDidChangeConfiguration((change) => {
      if (change.affectsConfiguration(SETTING)) {
        restart();
      }
    }),
  );
  return restart();
}

function deactivate() {
  turn = turn.then(stop);
  return turn;
}

function restart() {
  turn = turn.then(stop).then(start);
  return turn;
}

async function stop() {
  const old = client;
  client = undefined;
  // One that never came up, or has ended by itself, cannot be stopped, and need not be.
  await old?.dispose().catch(() => {});
}

async function start() {
  const folder = vscode.workspace.workspaceFolders?.find(({ uri }) => uri.scheme === "file");
  const cwd = folder?.uri.fsPath ?? homedir();
  const named = vscode.workspace.getConfiguration().get(SETTING).trim() || "besom";
  const command = program(named, cwd);
  const fault = await trial(command, cwd);
  if (fault !== undefined) {
    tell(named, fault);
    return;
  }
  client = new LanguageClient("besom", "besom", { command, args: ARGS, options: { cwd } }, OPTIONS);
  // The client itself says when it cannot start after all.
  await client.start().catch(() => {});
}

// What the setting names: a path from the folder that is open, or a program's bare name.
function program(named, folder) {
  const home = named.startsWith("~/") ? path.join(homedir(), named.slice(2)) : named;
  return /[\\/]/.test(home) ? path.resolve(folder, home) : home;
}

// What hinders the server, in words; undefined where it starts. Without an editor it ends at once.
// The client would find out only by starting it five times, and would not say why.
function trial(command, cwd) {
  return new Promise((resolve) => {
    const options = { cwd, timeout: LONGEST_TRIAL };
    const child = execFile(command, ARGS, options, (fault, _said, complaints) => {
      if (fault === null) {
        resolve(undefined);
      } else if (fault.code === "ENOENT") {
        resolve("it was not found");
      } else {
        const [last] = complaints.trim().split("\n").slice(-1);
        resolve(last.replace(/^Error: /, "") || fault.message);
      }
    });
    child.stdin.on("error", () => {});
    child.stdin.end();
  });
}

// Not awaited: a message waits for its reader, and a start must not wait for a message.
async function tell(named, fault) {
  const choice = await vscode.window.showErrorMessage(
    `besom shows colours only, as the command "${named}" does not start: ${fault}. ` +
      `Install it (pip install '.[editor]' in a copy of besom), ` +
      `or say in the setting ${SETTING} where it is.`,
    TRY_AGAIN,
    OPEN_SETTING,
  );
  if (choice === TRY_AGAIN) {
    restart();
  } else if (choice === OPEN_SETTING) {
    vscode.commands.executeCommand("workbench.action.openSettings", SETTING);
  }
}

module.exports = { activate, deactivate };
