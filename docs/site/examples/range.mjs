// One engine's range with its page, found from the index. In a browser, use fetch in place of readFile.
import { readFile } from "node:fs/promises";

const read = async (name) => JSON.parse(await readFile(`v1/${name}`, "utf-8"));
const { engines } = await read("index.json");
const { document } = engines.find((e) => e.engine === "cummins-ntc-400");
for (const row of (await read(document)).ranges) {
  if (row.quantity === "main-bearing-clearance") {
    console.log(`${row.lower} to ${row.upper} ${row.unit}, limit ${row.limit} ${row.unit}, ${row.cite.text}`);
  }
}
