/** Why a server cannot listen: the port is taken, the address is not this machine's. No mistake of ours. */
export class ListenError extends Error {}
