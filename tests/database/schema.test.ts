import { getTableColumns, is, sql } from 'drizzle-orm'
import { getTableConfig, PgTable } from 'drizzle-orm/pg-core'
import { expect, test } from 'vitest'
import * as schema from '../../src/database/schema.ts'
import { testDatabase } from '../support/database.ts'

const { owner, service, clinicId, addClinic } = await testDatabase()

const tables = Object.values(schema).filter((value) => is(value, PgTable)) as PgTable[]
const snake = (name: string) => name.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`)

test('the typed tables are the migrated tables, column by column', async () => {
  const rows = await owner<
    { table: string; column: string; type: string; required: boolean; filled: boolean }[]
  >`
    select table_name as table, column_name as column, udt_name as type, is_nullable = 'NO' as required,
      column_default is not null as filled
    from information_schema.columns where table_schema = 'public' and table_name <> 'migration'`
  const short: Record<string, string> = {
    'timestamp with time zone': 'timestamptz',
    integer: 'int4',
    bigint: 'int8',
    boolean: 'bool',
    'double precision': 'float8',
  }
  const typed = tables.flatMap((table) =>
    Object.entries(getTableColumns(table)).map(([key, column]) => ({
      table: getTableConfig(table).name,
      column: column.name === key ? snake(key) : column.name,
      type: short[column.getSQLType()] ?? column.getSQLType(),
      required: column.notNull,
      filled: column.hasDefault,
    })),
  )
  const order = (list: typeof typed) =>
    list.map((c) => `${c.table}.${c.column} ${c.type} ${c.required} ${c.filled}`).sort()
  expect(order(typed)).toEqual(order([...rows]))
})

test("every table's key starts with clinic_id and has forced row-level security", async () => {
  const rows = await owner<
    { name: string; first: string; secured: boolean; forced: boolean; policies: number }[]
  >`
    select c.relname as name, a.attname as first, c.relrowsecurity as secured, c.relforcerowsecurity as forced,
      (select count(*)::int from pg_policy p where p.polrelid = c.oid) as policies
    from pg_class c join pg_index i on i.indrelid = c.oid and i.indisprimary
      join pg_attribute a on a.attrelid = c.oid and a.attnum = i.indkey[0]
    where c.relkind = 'r' and c.relnamespace = 'public'::regnamespace and c.relname <> 'migration'`
  expect(rows.length).toBe(tables.length)
  for (const row of rows) {
    expect(row, row.name).toMatchObject({ first: 'clinic_id', secured: true, forced: true })
    expect(row.policies, row.name).toBeGreaterThan(0)
  }
})

test('a raw connection of the service without a clinic sees no row, and another clinic sees only its own', async () => {
  const other = await addClinic('second')
  for (const table of tables) {
    const name = getTableConfig(table).name
    const [none] = await service.sql`select count(*)::int as n from ${service.sql(name)}`
    expect(none?.n, name).toBe(name === 'clinic_directory' ? 2 : 0)
  }
  const seen = await service.db.transaction(async (tx) => {
    await tx.execute(sql`select set_config('app.clinic', ${other}, true)`)
    return await tx.select({ id: schema.clinic.clinicId }).from(schema.clinic)
  })
  expect(seen).toEqual([{ id: other }])
  expect(other).not.toBe(clinicId)
})
