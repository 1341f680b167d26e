import { Kysely, PostgresDialect, type PostgresPoolClient } from 'kysely'
import pg from 'pg'
import { type Engine, type Identities, identitiesAbove, type Manner, type Transaction } from '../engine.ts'
import { CollisionError, DatabaseUnreachableError } from '../errors.ts'
import { locationInWords } from '../location.ts'
import type { Schema } from '../schema.ts'
import { postgresBulk } from './bulk.ts'
import { postgresCellChanges, postgresCellsOf } from './cells.ts'
import { giveBack, setAside } from './identities.ts'
import { CHANNEL, Notices } from './notices.ts'
import { postgresParts } from './parts.ts'
import { postgresScan } from './scan.ts'
import { createPartition, partitionName } from './tables.ts'
import { postgresValues } from './values.ts'

/** Connections that one process holds at most, for a server usually lets in a hundred. */
const CONNECTIONS = 10

/** First numbers of the advisory locks: an arbitrary one each, kept apart from those of other programs. */
const SHOP_LOCK = 1_395_831_407
const PART_NUMBER_LOCK = 1_395_831_408
const PARTITION_LOCK = 1_395_831_409
const RECORD_LOCK = 1_395_831_410

/** Codes of errors that a transaction meets only because of another: PostgreSQL documentation, Error Codes. */
const COLLISIONS: ReadonlySet<string> = new Set([
  '23505', // unique_violation: another wrote a row of the same name first
  '40001', // serialization_failure
  '40P01', // deadlock_detected
])

/**
 * PostgreSQL as a store's engine: a pool of connections for reading, one of them for each open transaction.
 * Several processes may work on one database at a time.
 *
 * @throws DatabaseUnreachableError
 */
export async function openPostgres({ connection }: { readonly connection: string }): Promise<Engine> {
  const config: pg.PoolConfig = {
    connectionString: connection,
    application_name: 'as-sintered',
    max: CONNECTIONS,
    keepAlive: true,
    types: {
      // Counts and times come as 64-bit integers, and all of ours are below 2^53.
      getTypeParser: (oid, format) =>
        oid === pg.types.builtins.INT8 ? Number : pg.types.getTypeParser(oid, format),
    },
  }
  const pool = new pg.Pool({
    ...config,
    // Compiling a query pays off for long ones, and takes longer than ours run.
    onConnect: async (client) => void (await client.query('set jit = off')),
  })
  // A connection lost while idle is replaced at the next query, which reports what is wrong if anything is.
  pool.on('error', () => undefined)
  const apart = async <T>(work: (client: pg.PoolClient) => Promise<T>): Promise<T> => {
    const client = await pool.connect()
    let failure: Error | undefined
    try {
      return await work(client)
    } catch (error) {
      failure = error as Error
      throw error
    } finally {
      // One on which anything failed does not go back, in whatever state it may be.
      client.release(failure)
    }
  }
  try {
    await apart((client) => client.query('select 1'))
  } catch (error) {
    await pool.end()
    throw new DatabaseUnreachableError(locationInWords({ connection }), error)
  }
  const db = new Kysely<Schema>({ dialect: new PostgresDialect({ pool }) })
  const notices = new Notices(config)
  const partitions = new Set([0])

  async function needPartition(number: number): Promise<void> {
    if (partitions.has(number)) return
    await apart(async (client) => {
      await client.query('begin')
      try {
        await client.query('select pg_advisory_xact_lock($1, 0)', [PARTITION_LOCK])
        const { rows } = await client.query('select to_regclass($1) as found', [partitionName(number)])
        if (rows[0].found === null) await client.query(createPartition(number))
        await client.query('commit')
      } catch (error) {
        await client.query('rollback')
        throw error
      }
    })
    partitions.add(number)
  }

  const commitCount = async (client: pg.Pool | pg.PoolClient, what: 'commits' | 'commits - aside') =>
    (await client.query<{ count: number }>(`select ${what} as count from commit_count`)).rows[0]
      ?.count as number

  async function begin(manner: Manner): Promise<Transaction> {
    const client = await pool.connect()
    const own = new Kysely<Schema>({ dialect: new PostgresDialect({ pool: poolOf(client) }) })
    let setAsideHere: Identities | null = null
    let seen = -1
    let ended = false
    const held = new Set<number>()
    const end = async (statement: 'commit' | 'rollback') => {
      if (ended) return
      ended = true
      let failure: Error | undefined
      try {
        await client.query(statement)
      } catch (error) {
        failure = error as Error
      }
      // A connection that failed here may still be in the transaction, so it does not go back.
      client.release(failure)
      if (failure !== undefined && statement === 'commit') throw failure
      const identities = setAsideHere
      setAsideHere = null
      if (identities !== null) await apart((other) => giveBack(other, identities)).catch(() => undefined)
    }
    try {
      await client.query('begin')
      const lock = manner === 'alone' ? 'pg_advisory_xact_lock' : 'pg_advisory_xact_lock_shared'
      await client.query(`select ${lock}($1, 0)`, [SHOP_LOCK])
    } catch (error) {
      await end('rollback')
      throw error
    }
    return {
      manner,
      db: own,
      bulk: postgresBulk(client, own, needPartition),
      async reserve(rows) {
        if (manner === 'alone') return await identitiesAbove(own)
        seen = await commitCount(client, 'commits - aside')
        setAsideHere = await apart((other) => setAside(other, rows))
        return setAsideHere
      },
      async hold(partNumberId) {
        if (manner === 'alone' || held.has(partNumberId)) return
        await client.query('select pg_advisory_xact_lock($1, $2)', [PART_NUMBER_LOCK, partNumberId])
        held.add(partNumberId)
        if ((await commitCount(client, 'commits - aside')) !== seen) {
          throw new CollisionError('another import was committed meanwhile')
        }
      },
      async holdRecord() {
        await client.query('select pg_advisory_xact_lock($1, 0)', [RECORD_LOCK])
      },
      emptyLogAfterwards: () => undefined,
      async hasWritten() {
        // A transaction gets its number with the first row that it writes.
        const { rows } = await client.query('select pg_current_xact_id_if_assigned() is not null as has')
        return rows[0].has
      },
      async commit(isAside) {
        try {
          // Last of all, because from here on others wait for this row.
          await client.query(
            `update commit_count set commits = commits + 1${isAside ? ', aside = aside + 1' : ''}`,
          )
          await client.query(`notify ${CHANNEL}`)
        } catch (error) {
          await end('rollback')
          throw error
        }
        await end('commit')
      },
      rollback: () => end('rollback'),
    }
  }

  return {
    flavour: 'postgres',
    db,
    cellsOf: (characteristicId, stage) => apart((client) => postgresCellsOf(client, characteristicId, stage)),
    cellChanges: (partNumberId, stage, since) =>
      apart((client) => postgresCellChanges(client, partNumberId, stage, since)),
    scan: postgresScan(apart),
    partsBySerial: (partNumberId, serials) => postgresParts(db, partNumberId, serials),
    values: (cellIds) => apart((client) => postgresValues(client, cellIds)),
    snapshot: (work) =>
      apart(async (client) => {
        await client.query('begin isolation level repeatable read read only')
        try {
          return await work(new Kysely<Schema>({ dialect: new PostgresDialect({ pool: poolOf(client) }) }))
        } finally {
          await client.query('rollback')
        }
      }),
    begin,
    isCollision: (error) =>
      error instanceof CollisionError || COLLISIONS.has((error as { code?: string }).code ?? ''),
    version: async () => String(await commitCount(pool, 'commits')),
    contentVersion: async () => String(await commitCount(pool, 'commits - aside')),
    onChange: (listener) => notices.onChange(listener),
    async close() {
      await notices.close()
      await db.destroy()
      if (!pool.ended) await pool.end()
    },
  }
}

/** One connection in the shape of a pool, so that a query builder writes inside its transaction. */
function poolOf(client: pg.PoolClient) {
  const lent: PostgresPoolClient = {
    query: client.query.bind(client) as unknown as PostgresPoolClient['query'],
    release: () => undefined,
  }
  return { connect: async () => lent, end: async () => undefined }
}
