/** Version of the program, as in package.json. */
export const version = "0.1.0";

/** Version of the numbers: changes whenever the same inputs give other bits. Part of every hash. */
export const numericVersion = "3";
