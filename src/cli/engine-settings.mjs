// By itself the engine begins to optimise so soon that much of that work is for nothing: a command takes a tenth longer.
// Compiled code that was kept is only used under the settings it was made under.
import { setFlagsFromString } from "node:v8";

setFlagsFromString("--interrupt-budget=200000");
