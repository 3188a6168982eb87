/** The keys and settings of every test's clinic; also for the scripts that run outside the test runner. */
import type { ClinicSettings } from '../../src/clinic.ts'
import { parseMasterKeys } from '../../src/database/vault.ts'

export const testKeys = parseMasterKeys(`t1:${Buffer.alloc(32, 7).toString('base64')}`)

const open = [{ from: '09:00', to: '17:00' }]

export const testSettings: ClinicSettings = {
  phone: '01632 960123',
  textRelay: '18001 01632 960123',
  emergencyNumber: '999',
  urgentAdvice: '111',
  crisisNumber: '01632 960199',
  openingHours: {
    zone: 'Europe/London',
    week: {
      monday: open,
      tuesday: open,
      wednesday: open,
      thursday: open,
      friday: open,
      saturday: [],
      sunday: [],
    },
    closed: [],
  },
  quietHours: { from: '20:00', to: '08:00' },
  transport: 'handset',
  region: 'GB',
  language: 'en',
}
