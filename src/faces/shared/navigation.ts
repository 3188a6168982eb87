/** What stands at the top of staff pages: each entry shows to the roles that hold its permission. */
import type { Permission } from '../../access/permissions.ts'

export interface NavigationEntry {
  href: string
  label: string
  permission: Permission
  /** Only in a demo clinic. */
  demo?: boolean
}

export const navigation: NavigationEntry[] = [
  { href: '/clinician', label: 'Concerns', permission: 'concerns:read' },
  { href: '/clinician/day', label: 'Day sheet', permission: 'procedure:write' },
  { href: '/reception', label: 'Front desk', permission: 'visits:write' },
  { href: '/owner', label: 'The clinic', permission: 'settings:write' },
  { href: '/protocol', label: 'Rules', permission: 'protocol:read' },
  { href: '/trust', label: 'Records', permission: 'operations:read' },
  { href: '/staff/people', label: 'People', permission: 'staff:manage' },
  { href: '/staff/account', label: 'Your sign-in', permission: 'account' },
  { href: '/handset', label: 'Demo handset', permission: 'handset', demo: true },
]
