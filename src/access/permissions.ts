/** Who may do what: one table, from the name of a permission to the roles that hold it. */

export const ROLES = ['clinician', 'reception', 'owner'] as const
export type Role = (typeof ROLES)[number]

/** As staff read them. */
export const roleWords: Record<Role, string> = {
  clinician: 'Clinician',
  reception: 'Front desk',
  owner: 'Owner',
}

export const permissions = {
  'visits:read': ['clinician', 'reception', 'owner'],
  'visits:write': ['reception', 'owner'],
  import: ['reception', 'owner'],
  moves: ['reception', 'owner'],
  'procedure:write': ['clinician'],
  'patients:read': ['clinician', 'reception', 'owner'],
  'concerns:read': ['clinician', 'owner'],
  'concerns:act': ['clinician'],
  'replies:read': ['clinician'],
  'replies:correct': ['clinician'],
  'protocol:read': ['clinician', 'reception', 'owner'],
  'protocol:draft': ['clinician', 'owner'],
  'protocol:sign': ['clinician'],
  'evidence:read': ['clinician', 'owner'],
  'staff:manage': ['owner'],
  'settings:write': ['owner'],
  'audit:read': ['owner'],
  export: ['owner'],
  erase: ['owner'],
  handset: ['clinician', 'reception', 'owner'],
  'operations:read': ['clinician', 'owner'],
  /** One's own sign-in, and the stream that says what changed. */
  account: ['clinician', 'reception', 'owner'],
} as const satisfies Record<string, readonly Role[]>

export type Permission = keyof typeof permissions

/** Exist in a demo clinic only; elsewhere their pages are not there. */
export const demoOnly: ReadonlySet<Permission> = new Set<Permission>(['handset'])

export function may(role: Role, permission: Permission): boolean {
  return (permissions[permission] as readonly Role[]).includes(role)
}
