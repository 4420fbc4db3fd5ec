import { folderFiles } from "../host/files.ts";
import { jurisdictionsTable } from "../report/jurisdictions-table.ts";
import { tableText } from "../report/table-text.ts";
import { beginning } from "../schema/json-body.ts";
import { jurisdictionsPath, readJurisdictions } from "../schema/jurisdiction.ts";
import type { FileOptions } from "./commands.ts";
import type { Io } from "./io.ts";

/** `jurisdictions`: the discount rates and thresholds stored in a case, for `settings: { jurisdiction: … }`. */
export function jurisdictions(options: FileOptions, io: Io): void {
  const { data } = readJurisdictions(folderFiles(options.root ?? "."), beginning(jurisdictionsPath));
  if (options.json) {
    io.out(`${JSON.stringify({ jurisdictions: data }, null, 2)}\n`);
    return;
  }
  io.out(`${tableText(jurisdictionsTable(data))}\n`);
  for (const [id, { note }] of Object.entries(data)) if (note !== undefined) io.out(`  ${id}: ${note}\n`);
}
