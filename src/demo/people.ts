/** The demo's invented clinic: nobody in it exists; numbers come from ranges reserved for fiction. */
import type { ClinicSettings } from '../clinic.ts'

export const DEMO_SLUG = 'brackwater'
export const DEMO_NAME = 'Brackwater Ear Rooms'
export const DEMO_ZONE = 'Europe/London'

const open = [
  { from: '08:30', to: '12:30' },
  { from: '13:15', to: '17:30' },
]

export const demoSettings: ClinicSettings = {
  phone: '01632 960118',
  textRelay: '18001 01632 960118',
  emergencyNumber: '999',
  urgentAdvice: '111',
  crisisNumber: '01632 960199',
  openingHours: {
    zone: DEMO_ZONE,
    week: {
      monday: open,
      tuesday: open,
      wednesday: open,
      thursday: open,
      friday: [{ from: '08:30', to: '16:00' }],
      saturday: [{ from: '09:00', to: '12:00' }],
      sunday: [],
    },
    closed: [],
  },
  quietHours: { from: '20:00', to: '08:30' },
  transport: 'handset',
  region: 'GB',
  language: 'en',
}

export const demoStaff = [
  {
    name: 'Ottoline Marsh',
    email: 'ottoline@brackwater.example',
    role: 'clinician',
    registration: 'DEMO-1041',
    escalationOrder: 1,
  },
  {
    name: 'Fenwick Adair',
    email: 'fenwick@brackwater.example',
    role: 'clinician',
    registration: 'DEMO-1187',
    escalationOrder: 2,
  },
  { name: 'Posy Tallentire', email: 'posy@brackwater.example', role: 'reception' },
  { name: 'Gwendal Ruck', email: 'gwendal@brackwater.example', role: 'owner', escalationOrder: 3 },
] as const

/** What an invented patient does, day by day. Doses: a number, or null for no answer. */
export interface DemoPatient {
  name: string
  mobile: string
  birthDate: string
  /** Days from the demo's today to the visit, and its local time. */
  inDays: number
  at: string
  minutes: number
  ears: 'left' | 'right' | 'both'
  practitioner: 'Ottoline Marsh' | 'Fenwick Adair'
  purpose?: 'assessment' | 'removal' | 'recheck'
  /** The reply to the history; null for none. */
  history: string | null
  /** Replies to what is asked on from there; NONE where they run out. */
  historyMore?: string[]
  /** One reply a day of drops, in order; null for silence. */
  doses: (string | null)[]
  /** Replies to the checks after the visit, in order; null for silence. */
  checks?: (string | null)[]
  hard?: boolean
  inPain?: boolean
  recurrent?: boolean
}

const number = (last: number): string => `+4477009000${String(last).padStart(2, '0')}`

export const demoPatients: DemoPatient[] = [
  {
    name: 'Lavinia Crewe',
    mobile: number(22),
    birthDate: '1942-08-03',
    inDays: 0,
    at: '16:20',
    minutes: 30,
    ears: 'left',
    practitioner: 'Ottoline Marsh',
    history: 'had a perforated eardrum as a child, healed, nothing since',
    historyMore: ['no', 'yes'],
    doses: ['3', '3', '2', '3'],
  },
  {
    name: 'Mortimer Hale',
    mobile: number(23),
    birthDate: '1955-02-19',
    inDays: 0,
    at: '17:00',
    minutes: 30,
    ears: 'both',
    practitioner: 'Ottoline Marsh',
    history: 'NONE',
    doses: ['2', 'forgot', '1', '2'],
  },
  {
    name: 'Agnes Thorley',
    mobile: number(11),
    birthDate: '1941-03-12',
    inDays: 2,
    at: '09:00',
    minutes: 30,
    ears: 'both',
    practitioner: 'Ottoline Marsh',
    history: 'NONE',
    doses: ['3', 'all 3', '3 times', '3'],
  },
  {
    name: 'Bertram Quill',
    mobile: number(12),
    birthDate: '1938-11-02',
    inDays: 2,
    at: '09:40',
    minutes: 30,
    ears: 'right',
    practitioner: 'Ottoline Marsh',
    history: 'none of those',
    doses: ['0', null, 'forgot again sorry', null],
  },
  {
    name: 'Clementine Oke',
    mobile: number(13),
    birthDate: '1950-06-21',
    inDays: 2,
    at: '10:20',
    minutes: 20,
    ears: 'left',
    practitioner: 'Fenwick Adair',
    history: 'I had a hole in my eardrum two months ago',
    doses: [],
  },
  {
    name: 'Dunstan Wray',
    mobile: number(14),
    birthDate: '1946-01-30',
    inDays: 3,
    at: '14:00',
    minutes: 30,
    ears: 'both',
    practitioner: 'Ottoline Marsh',
    history: 'None',
    doses: ['twice', '1', '2'],
    inPain: true,
  },
  {
    name: 'Edith Fallow',
    mobile: number(15),
    birthDate: '1933-09-17',
    inDays: 4,
    at: '11:00',
    minutes: 30,
    ears: 'left',
    practitioner: 'Fenwick Adair',
    history: null,
    doses: [],
  },
  {
    name: 'Fergus Lund',
    mobile: number(16),
    birthDate: '1957-04-05',
    inDays: 5,
    at: '15:20',
    minutes: 30,
    ears: 'right',
    practitioner: 'Fenwick Adair',
    history: 'NONE',
    doses: ['1'],
    recurrent: true,
  },
  {
    name: 'Greta Sorrel',
    mobile: number(17),
    birthDate: '1944-12-24',
    inDays: 9,
    at: '10:00',
    minutes: 30,
    ears: 'both',
    practitioner: 'Ottoline Marsh',
    history: 'no',
    doses: [],
  },
  {
    name: 'Hector Blythe',
    mobile: number(18),
    birthDate: '1939-07-08',
    inDays: -1,
    at: '10:00',
    minutes: 30,
    ears: 'right',
    practitioner: 'Ottoline Marsh',
    history: 'NONE',
    doses: ['3', '2', '3', '3'],
    checks: ['Bit sore, 2 out of 10, no discharge, hearing better, no dizziness'],
  },
  {
    name: 'Isolde Penn',
    mobile: number(19),
    birthDate: '1948-02-14',
    inDays: -2,
    at: '11:20',
    minutes: 40,
    ears: 'left',
    practitioner: 'Fenwick Adair',
    history: 'None',
    doses: ['0', null, '1', null],
    hard: true,
    checks: ['sore 3', 'its 6 now and weeping yellow stuff on my pillow'],
  },
  {
    name: 'Jethro Vane',
    mobile: number(20),
    birthDate: '1952-10-19',
    inDays: -3,
    at: '09:00',
    minutes: 40,
    ears: 'both',
    practitioner: 'Ottoline Marsh',
    history: 'I take warfarin, nothing else',
    doses: ['0', '0', null, null],
    hard: true,
    checks: [null, null, null],
  },
  {
    name: 'Keziah Moss',
    mobile: number(21),
    birthDate: '1936-05-27',
    inDays: -2,
    at: '14:40',
    minutes: 30,
    ears: 'right',
    practitioner: 'Fenwick Adair',
    history: 'NONE',
    doses: ['3', '3', '3', '2'],
    checks: ['woke up and cant hear a thing in my right ear since this morning'],
  },
]

/** Open slots: days from today, local time, minutes, practitioner. */
export const demoSlots: [number, string, number, 'Ottoline Marsh' | 'Fenwick Adair'][] = [
  [3, '09:00', 30, 'Ottoline Marsh'],
  [4, '10:00', 30, 'Ottoline Marsh'],
  [5, '09:40', 40, 'Fenwick Adair'],
  [6, '11:00', 30, 'Ottoline Marsh'],
  [7, '14:00', 30, 'Fenwick Adair'],
  [8, '10:20', 40, 'Ottoline Marsh'],
  [9, '15:00', 30, 'Fenwick Adair'],
  [10, '09:00', 30, 'Fenwick Adair'],
]
