/** The words of a list parted by spaces, as a set to look up in. */
export const setOf = (list: string): ReadonlySet<string> => new Set(list.split(' '))
