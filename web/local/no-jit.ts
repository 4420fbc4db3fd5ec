import { z } from "zod";

// Before any schema is made: schemas would else turn themselves into code, which the page's policy bars.
z.config({ jitless: true });
