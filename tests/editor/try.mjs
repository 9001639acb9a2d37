// Opens week files in yaml-language-server as an editor would, and prints what it says of them.
// Not part of the gate, for it needs Node and npm; how to run it stands in DEVELOPERS.md.
// node try.mjs FOLDER FILE[:LINE:COLUMN] ...   with a place: also what is completed there.
import { spawn } from "child_process";
import { readFileSync } from "fs";
import { join } from "path";

const [folder, ...files] = process.argv.slice(2);
const server = spawn(process.execPath, [
  "node_modules/yaml-language-server/bin/yaml-language-server",
  "--stdio",
]);
const waiting = new Map();
const faults = new Map();
let inbox = Buffer.alloc(0);
let number = 0;

function send(message) {
  const text = JSON.stringify({ jsonrpc: "2.0", ...message });
  server.stdin.write(`Content-Length: ${Buffer.byteLength(text)}\r\n\r\n${text}`);
}

function ask(method, params) {
  number += 1;
  send({ id: number, method, params });
  return new Promise((answer) => waiting.set(number, answer));
}

function take(message) {
  if (message.method === "textDocument/publishDiagnostics") {
    faults.set(message.params.uri, message.params.diagnostics);
  } else if (message.id !== undefined && message.method) {
    const settings = message.method === "workspace/configuration";
    send({ id: message.id, result: settings ? message.params.items.map(() => ({})) : null });
  } else if (waiting.has(message.id)) {
    waiting.get(message.id)(message.result);
  }
}

server.stdout.on("data", (data) => {
  inbox = Buffer.concat([inbox, data]);
  for (;;) {
    const head = inbox.indexOf("\r\n\r\n");
    if (head < 0) return;
    const length = Number(/Content-Length: (\d+)/i.exec(inbox.subarray(0, head))[1]);
    if (inbox.length < head + 4 + length) return;
    const body = inbox.subarray(head + 4, head + 4 + length);
    inbox = inbox.subarray(head + 4 + length);
    take(JSON.parse(body));
  }
});

await ask("initialize", {
  processId: process.pid,
  rootUri: `file://${folder}`,
  capabilities: { workspace: { configuration: true } },
});
send({ method: "initialized", params: {} });
const settings = { yaml: { validate: true, completion: true, hover: true } };
send({ method: "workspace/didChangeConfiguration", params: { settings } });
for (const place of files) {
  const [name, line, column] = place.split(":");
  const uri = `file://${join(folder, name)}`;
  const text = readFileSync(join(folder, name), "utf8");
  const textDocument = { uri, languageId: "yaml", version: 1, text };
  send({ method: "textDocument/didOpen", params: { textDocument } });
  await new Promise((later) => setTimeout(later, 2500));
  const told = faults.get(uri) ?? [];
  console.log(`${name}: ${told.length} faults`);
  for (const { range, message } of told) {
    console.log(`  ${range.start.line + 1}:${range.start.character + 1} ${message}`);
  }
  if (line) {
    const position = { line: Number(line) - 1, character: Number(column) - 1 };
    const list = await ask("textDocument/completion", { textDocument: { uri }, position });
    for (const { label, documentation } of list.items ?? list) {
      const told = documentation?.value ?? documentation ?? "";
      console.log(`  completes: ${label.padEnd(18)} ${told.split("\n")[0]}`);
    }
  }
}
process.exit(0);
