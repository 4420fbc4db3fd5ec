import { render } from "preact";
import { Page } from "./page/page.tsx";
import "./style/page.css";
import { followEdits } from "./live.ts";
import { followScheme } from "./theme.ts";
import { start } from "./workbench.ts";

followScheme();
followEdits();
render(<Page />, document.getElementById("page")!);
void start(new URLSearchParams(location.search).get("scenario"));
