import { render } from "preact";
import { Page } from "./page/page.tsx";
import "./style/page.css";
import { followScheme } from "./theme.ts";
import { start } from "./workbench.ts";

followScheme();
render(<Page />, document.getElementById("page")!);
void start(new URLSearchParams(location.search).get("scenario"));
