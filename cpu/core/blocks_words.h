/* blocks_words.h - the words of the bodies for operations that were read ahead; included once, by blocks.c. */
#undef SOURCE
#undef REGISTER_SOURCE
#undef DESTINATION
#undef VALUE
#undef READ
#undef WRITE
#undef WRITE_EXTENDED
#undef FIELD_R
#undef FIELD_LOW3
#undef DESTINATION_MODE
#undef PC
#undef GO_TO
#undef BRANCH_IF
#undef PUSH
#undef POP
#undef JUMP_ADDRESS

#define SOURCE(s) \
    ms_found s = settled_block(m, h, 0, op->s, op->x, byte, S); \
    GIVE_UP_IF_FAR(); \
    s.value = taken_block(m, h, s, byte, S); \
    GIVE_UP_IF_FAR()
#define REGISTER_SOURCE(s) const ms_found s = {.reg = op->s, .value = m->r[op->s]}
#define DESTINATION(t)     const ms_found t = settled_block(m, h, 1, op->d, op->y, byte, D); GIVE_UP_IF_FAR()
#define VALUE(s)           ((s).value)
#define READ(t)            ({ const uint32_t read_ = taken_block(m, h, t, byte, D); GIVE_UP_IF_FAR(); read_; })
#define WRITE(t, value)    do { given_block(m, h, t, (value), byte, D); GIVE_UP_IF_FAR(); } while (0)
#define WRITE_EXTENDED(t, value) \
    do { if (byte && D == REG) m->r[t.reg] = SIGN_EXTENDED(value); else WRITE(t, value); } while (0)

#define FIELD_R          (op->s)
#define FIELD_LOW3       (op->d)
#define DESTINATION_MODE ((unsigned)mode_of(D))

/* z: what stands behind the instruction, for calls; a branch or loop only says that it goes. */
#define PC                 (op->z)
#define GO_TO(address)     (h->pc = (uint16_t)(address))
#define BRANCH_IF(condition) do { if (condition) h->pc = 0; } while (0)
#define PUSH(value) \
    do { \
        const uint32_t at_ = (uint16_t)(m->r[6] - 2); \
        near_stack(m, h, at_); \
        GIVE_UP_IF_FAR(); \
        block_store(m, h, at_, (value), 0, 0); \
        GIVE_UP_IF_FAR(); \
        m->r[6] = (uint16_t)at_; \
    } while (0)
#define POP() ({ const uint32_t pop_ = block_load(m, h, m->r[6], 0, 0); GIVE_UP_IF_FAR(); m->r[6] += 2; pop_; })
#define JUMP_ADDRESS() \
    ({ \
        const ms_found jump_ = settled_block(m, h, 1, op->d, op->y, 0, D); \
        GIVE_UP_IF_FAR(); \
        m->r[7] = op->z; \
        jump_.address; \
    })
