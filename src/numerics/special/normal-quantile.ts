import { log } from "../log.ts";
