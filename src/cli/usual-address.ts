/** Where a server listens unless told otherwise: on this machine only. */
export const usualAddress = { port: 8417, host: "127.0.0.1" } as const;
