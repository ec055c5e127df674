#include "textflag.h"

// Four numbers at a time, two vectors in a round where the run holds that many. Every run has a multiple of four entries. Nothing is
// fused: each product is rounded before it is added, as in lanes.go.

// func combineLanes(dst, a, b *float64, n, runs, dstStep, aStep, bStep int, wa, wb float64)
TEXT ·combineLanes(SB), NOSPLIT, $0-80
	MOVQ dst+0(FP), DI
	MOVQ a+8(FP), SI
	MOVQ b+16(FP), DX
	MOVQ n+24(FP), R8
	MOVQ runs+32(FP), R9
	MOVQ dstStep+40(FP), R10
	MOVQ aStep+48(FP), R11
	MOVQ bStep+56(FP), R12
	VBROADCASTSD wa+64(FP), Y0
	VBROADCASTSD wb+72(FP), Y1
	SHLQ $3, R8
	SHLQ $3, R10
	SHLQ $3, R11
	SHLQ $3, R12

run:
	XORQ AX, AX
	MOVQ R8, CX
	SUBQ $64, CX
	JLT  tail

pair:
	VMULPD  (SI)(AX*1), Y0, Y2
	VMULPD  32(SI)(AX*1), Y0, Y4
	VMULPD  (DX)(AX*1), Y1, Y3
	VMULPD  32(DX)(AX*1), Y1, Y5
	VADDPD  Y3, Y2, Y2
	VADDPD  Y5, Y4, Y4
	VMOVUPD Y2, (DI)(AX*1)
	VMOVUPD Y4, 32(DI)(AX*1)
	ADDQ    $64, AX
	CMPQ    AX, CX
	JLE     pair

tail:
	CMPQ    AX, R8
	JGE     done
	VMULPD  (SI)(AX*1), Y0, Y2
	VMULPD  (DX)(AX*1), Y1, Y3
	VADDPD  Y3, Y2, Y2
	VMOVUPD Y2, (DI)(AX*1)

done:
	ADDQ R10, DI
	ADDQ R11, SI
	ADDQ R12, DX
	DECQ R9
	JNZ  run
	VZEROUPPER
	RET

// func scaleLanes(dst, a *float64, n, runs, dstStep, aStep int, w float64)
TEXT ·scaleLanes(SB), NOSPLIT, $0-56
	MOVQ dst+0(FP), DI
	MOVQ a+8(FP), SI
	MOVQ n+16(FP), R8
	MOVQ runs+24(FP), R9
	MOVQ dstStep+32(FP), R10
	MOVQ aStep+40(FP), R11
	VBROADCASTSD w+48(FP), Y0
	SHLQ $3, R8
	SHLQ $3, R10
	SHLQ $3, R11

run:
	XORQ AX, AX
	MOVQ R8, CX
	SUBQ $64, CX
	JLT  tail

pair:
	VMULPD  (SI)(AX*1), Y0, Y2
	VMULPD  32(SI)(AX*1), Y0, Y3
	VMOVUPD Y2, (DI)(AX*1)
	VMOVUPD Y3, 32(DI)(AX*1)
	ADDQ    $64, AX
	CMPQ    AX, CX
	JLE     pair

tail:
	CMPQ    AX, R8
	JGE     done
	VMULPD  (SI)(AX*1), Y0, Y2
	VMOVUPD Y2, (DI)(AX*1)

done:
	ADDQ R10, DI
	ADDQ R11, SI
	DECQ R9
	JNZ  run
	VZEROUPPER
	RET

// func pourLanes(lo, hi *float64, n, runs, loStep, hiStep int, l, q float64)
TEXT ·pourLanes(SB), NOSPLIT, $0-64
	MOVQ lo+0(FP), DI
	MOVQ hi+8(FP), SI
	MOVQ n+16(FP), R8
	MOVQ runs+24(FP), R9
	MOVQ loStep+32(FP), R10
	MOVQ hiStep+40(FP), R11
	VBROADCASTSD l+48(FP), Y0
	VBROADCASTSD q+56(FP), Y1
	SHLQ $3, R8
	SHLQ $3, R10
	SHLQ $3, R11

run:
	XORQ AX, AX
	MOVQ R8, CX
	SUBQ $64, CX
	JLT  tail

pair:
	VMOVUPD (DI)(AX*1), Y2
	VMOVUPD 32(DI)(AX*1), Y3
	VMULPD  Y2, Y0, Y4
	VMULPD  Y3, Y0, Y5
	VADDPD  (SI)(AX*1), Y4, Y4
	VADDPD  32(SI)(AX*1), Y5, Y5
	VMULPD  Y2, Y1, Y2
	VMULPD  Y3, Y1, Y3
	VMOVUPD Y4, (SI)(AX*1)
	VMOVUPD Y5, 32(SI)(AX*1)
	VMOVUPD Y2, (DI)(AX*1)
	VMOVUPD Y3, 32(DI)(AX*1)
	ADDQ    $64, AX
	CMPQ    AX, CX
	JLE     pair

tail:
	CMPQ    AX, R8
	JGE     done
	VMOVUPD (DI)(AX*1), Y2
	VMULPD  Y2, Y0, Y4
	VADDPD  (SI)(AX*1), Y4, Y4
	VMULPD  Y2, Y1, Y2
	VMOVUPD Y4, (SI)(AX*1)
	VMOVUPD Y2, (DI)(AX*1)

done:
	ADDQ R10, DI
	ADDQ R11, SI
	DECQ R9
	JNZ  run
	VZEROUPPER
	RET

// func dotLanes(sum *[8]float64, a, b *float64, n int)
TEXT ·dotLanes(SB), NOSPLIT, $0-32
	MOVQ   sum+0(FP), DI
	MOVQ   a+8(FP), SI
	MOVQ   b+16(FP), DX
	MOVQ   n+24(FP), R8
	SHLQ   $3, R8
	VXORPD Y0, Y0, Y0
	VXORPD Y1, Y1, Y1
	XORQ   AX, AX

pair:
	VMOVUPD (SI)(AX*1), Y2
	VMOVUPD 32(SI)(AX*1), Y3
	VMULPD  (DX)(AX*1), Y2, Y2
	VMULPD  32(DX)(AX*1), Y3, Y3
	VADDPD  Y2, Y0, Y0
	VADDPD  Y3, Y1, Y1
	ADDQ    $64, AX
	CMPQ    AX, R8
	JLT     pair
	VMOVUPD Y0, (DI)
	VMOVUPD Y1, 32(DI)
	VZEROUPPER
	RET

// func forkLanes(lo, hi *float64, n int, off, on float64)
TEXT ·forkLanes(SB), NOSPLIT, $0-40
	MOVQ lo+0(FP), DI
	MOVQ hi+8(FP), SI
	MOVQ n+16(FP), R8
	VBROADCASTSD off+24(FP), Y0
	VBROADCASTSD on+32(FP), Y1
	SHLQ $3, R8
	XORQ AX, AX

four:
	VMOVUPD (DI)(AX*1), Y2
	VMULPD  Y2, Y1, Y3
	VMULPD  Y2, Y0, Y2
	VMOVUPD Y3, (SI)(AX*1)
	VMOVUPD Y2, (DI)(AX*1)
	ADDQ    $32, AX
	CMPQ    AX, R8
	JLT     four
	VZEROUPPER
	RET

// func dotScaleLanes(sum *[8]float64, dst, s, r *float64, n, runs, dstStep, sStep, rStep int, w float64)
TEXT ·dotScaleLanes(SB), NOSPLIT, $0-80
	MOVQ sum+0(FP), BX
	MOVQ dst+8(FP), DI
	MOVQ s+16(FP), SI
	MOVQ r+24(FP), DX
	MOVQ n+32(FP), R8
	MOVQ runs+40(FP), R9
	MOVQ dstStep+48(FP), R10
	MOVQ sStep+56(FP), R11
	MOVQ rStep+64(FP), R12
	VBROADCASTSD w+72(FP), Y6
	SHLQ   $3, R8
	SHLQ   $3, R10
	SHLQ   $3, R11
	SHLQ   $3, R12
	VXORPD Y0, Y0, Y0
	VXORPD Y1, Y1, Y1

run:
	XORQ AX, AX
	CMPQ R8, $64
	JLT  four

eight:
	VMOVUPD (DX)(AX*1), Y2
	VMOVUPD 32(DX)(AX*1), Y3
	VMULPD  (SI)(AX*1), Y2, Y4
	VMULPD  32(SI)(AX*1), Y3, Y5
	VMULPD  Y2, Y6, Y2
	VMULPD  Y3, Y6, Y3
	VADDPD  Y4, Y0, Y0
	VADDPD  Y5, Y1, Y1
	VMOVUPD Y2, (DI)(AX*1)
	VMOVUPD Y3, 32(DI)(AX*1)
	ADDQ    $64, AX
	CMPQ    AX, R8
	JLT     eight
	JMP     done

four:
	VMOVUPD (DX), Y2
	VMULPD  (SI), Y2, Y4
	VMULPD  Y2, Y6, Y2
	VADDPD  Y4, Y0, Y0
	VMOVUPD Y2, (DI)

done:
	ADDQ R10, DI
	ADDQ R11, SI
	ADDQ R12, DX
	DECQ R9
	JNZ  run
	VMOVUPD Y0, (BX)
	VMOVUPD Y1, 32(BX)
	VZEROUPPER
	RET

// func dotMixLanes(sr, st *[8]float64, s, r, t *float64, n int, off, on float64)
TEXT ·dotMixLanes(SB), NOSPLIT, $0-64
	MOVQ sr+0(FP), BX
	MOVQ st+8(FP), CX
	MOVQ s+16(FP), SI
	MOVQ r+24(FP), DI
	MOVQ t+32(FP), DX
	MOVQ n+40(FP), R8
	VBROADCASTSD off+48(FP), Y12
	VBROADCASTSD on+56(FP), Y13
	SHLQ   $3, R8
	VXORPD Y0, Y0, Y0
	VXORPD Y1, Y1, Y1
	VXORPD Y2, Y2, Y2
	VXORPD Y3, Y3, Y3
	XORQ   AX, AX

eight:
	VMOVUPD (SI)(AX*1), Y4
	VMOVUPD 32(SI)(AX*1), Y5
	VMOVUPD (DI)(AX*1), Y6
	VMOVUPD 32(DI)(AX*1), Y7
	VMOVUPD (DX)(AX*1), Y8
	VMOVUPD 32(DX)(AX*1), Y9
	VMULPD  Y4, Y6, Y10
	VMULPD  Y5, Y7, Y11
	VADDPD  Y10, Y0, Y0
	VADDPD  Y11, Y1, Y1
	VMULPD  Y4, Y8, Y10
	VMULPD  Y5, Y9, Y11
	VADDPD  Y10, Y2, Y2
	VADDPD  Y11, Y3, Y3
	VMULPD  Y6, Y12, Y6
	VMULPD  Y7, Y12, Y7
	VMULPD  Y8, Y13, Y8
	VMULPD  Y9, Y13, Y9
	VADDPD  Y8, Y6, Y6
	VADDPD  Y9, Y7, Y7
	VMOVUPD Y6, (DI)(AX*1)
	VMOVUPD Y7, 32(DI)(AX*1)
	ADDQ    $64, AX
	CMPQ    AX, R8
	JLT     eight
	VMOVUPD Y0, (BX)
	VMOVUPD Y1, 32(BX)
	VMOVUPD Y2, (CX)
	VMOVUPD Y3, 32(CX)
	VZEROUPPER
	RET

// func turnLanes(dst, src *float64, n int, same, other *[4]float64, across bool)
//
// dst = same*src + other*(src with the halves of each pair exchanged); pairs are neighbours, or, across, the halves of a vector.
TEXT ·turnLanes(SB), NOSPLIT, $0-41
	MOVQ    dst+0(FP), DI
	MOVQ    src+8(FP), SI
	MOVQ    n+16(FP), R8
	MOVQ    same+24(FP), BX
	MOVQ    other+32(FP), CX
	VMOVUPD (BX), Y0
	VMOVUPD (CX), Y1
	SHLQ    $3, R8
	XORQ    AX, AX
	CMPB    across+40(FP), $0
	JNE     across

beside:
	VMOVUPD   (SI)(AX*1), Y2
	VPERMILPD $5, Y2, Y3
	VMULPD    Y2, Y0, Y2
	VMULPD    Y3, Y1, Y3
	VADDPD    Y3, Y2, Y2
	VMOVUPD   Y2, (DI)(AX*1)
	ADDQ      $32, AX
	CMPQ      AX, R8
	JLT       beside
	VZEROUPPER
	RET

across:
	VMOVUPD    (SI)(AX*1), Y2
	VPERM2F128 $1, Y2, Y2, Y3
	VMULPD     Y2, Y0, Y2
	VMULPD     Y3, Y1, Y3
	VADDPD     Y3, Y2, Y2
	VMOVUPD    Y2, (DI)(AX*1)
	ADDQ       $32, AX
	CMPQ       AX, R8
	JLT        across
	VZEROUPPER
	RET

// Two children at a time part a table in four streams: neither reached, the first, the second, both. R9 and R10 are the distances between
// them in bytes, R9 the smaller one, R8 is the length. AX, CX, DX and BX go through the streams; Y5 to Y8 are what goes to them.
#define EACH_FOUR_STREAMS \
	SHLQ $3, R8; \
	SHLQ $3, R9; \
	SHLQ $3, R10; \
	XORQ AX, AX; \
second: \
	LEAQ (AX)(R10*1), R12; \
first: \
	LEAQ (AX)(R9*1), R11; \
four: \
	LEAQ    (AX)(R9*1), CX; \
	LEAQ    (AX)(R10*1), DX; \
	LEAQ    (CX)(R10*1), BX;

#define NEXT_FOUR_STREAMS \
	VMOVUPD Y5, (DI)(AX*1); \
	VMOVUPD Y6, (DI)(CX*1); \
	VMOVUPD Y7, (DI)(DX*1); \
	VMOVUPD Y8, (DI)(BX*1); \
	ADDQ    $32, AX; \
	CMPQ    AX, R11; \
	JLT     four; \
	ADDQ    R9, AX; \
	CMPQ    AX, R12; \
	JLT     first; \
	ADDQ    R10, AX; \
	CMPQ    AX, R8; \
	JLT     second; \
	VZEROUPPER; \
	RET;

// What is at SI in the streams, times Y0, spread to both children: Y1 and Y2 are q and l of the first, times Y0, Y3 and Y4 of the second.
#define SPREAD_TWO \
	VMOVUPD (SI)(AX*1), Y5; \
	VMOVUPD (SI)(CX*1), Y6; \
	VMOVUPD (SI)(DX*1), Y7; \
	VMOVUPD (SI)(BX*1), Y8; \
	VMULPD  Y5, Y2, Y9; \
	VMULPD  Y7, Y2, Y10; \
	VMULPD  Y6, Y0, Y6; \
	VMULPD  Y8, Y0, Y8; \
	VMULPD  Y5, Y1, Y5; \
	VMULPD  Y7, Y1, Y7; \
	VADDPD  Y9, Y6, Y6; \
	VADDPD  Y10, Y8, Y8; \
	VMULPD  Y5, Y4, Y9; \
	VMULPD  Y6, Y4, Y10; \
	VMULPD  Y5, Y3, Y5; \
	VMULPD  Y6, Y3, Y6; \
	VADDPD  Y9, Y7, Y7; \
	VADDPD  Y10, Y8, Y8;

// func spreadTwoLanes(dst, src *float64, n, a, b int, on, qa, la, qb, lb float64)
TEXT ·spreadTwoLanes(SB), NOSPLIT, $0-80
	MOVQ dst+0(FP), DI
	MOVQ src+8(FP), SI
	MOVQ n+16(FP), R8
	MOVQ a+24(FP), R9
	MOVQ b+32(FP), R10
	VBROADCASTSD on+40(FP), Y0
	VBROADCASTSD qa+48(FP), Y1
	VBROADCASTSD la+56(FP), Y2
	VBROADCASTSD qb+64(FP), Y3
	VBROADCASTSD lb+72(FP), Y4
	EACH_FOUR_STREAMS
	SPREAD_TWO
	NEXT_FOUR_STREAMS

// func spreadTwoMixLanes(dst, t, src *float64, n, a, b int, on, qa, la, qb, lb, off float64)
//
// As spreadTwoLanes of t, with off*src added on the way to dst.
TEXT ·spreadTwoMixLanes(SB), NOSPLIT, $0-96
	MOVQ dst+0(FP), DI
	MOVQ t+8(FP), SI
	MOVQ src+16(FP), R13
	MOVQ n+24(FP), R8
	MOVQ a+32(FP), R9
	MOVQ b+40(FP), R10
	VBROADCASTSD on+48(FP), Y0
	VBROADCASTSD qa+56(FP), Y1
	VBROADCASTSD la+64(FP), Y2
	VBROADCASTSD qb+72(FP), Y3
	VBROADCASTSD lb+80(FP), Y4
	VBROADCASTSD off+88(FP), Y11
	EACH_FOUR_STREAMS
	SPREAD_TWO
	VMULPD  (R13)(AX*1), Y11, Y9
	VMULPD  (R13)(CX*1), Y11, Y10
	VMULPD  (R13)(DX*1), Y11, Y12
	VMULPD  (R13)(BX*1), Y11, Y13
	VADDPD  Y9, Y5, Y5
	VADDPD  Y10, Y6, Y6
	VADDPD  Y12, Y7, Y7
	VADDPD  Y13, Y8, Y8
	NEXT_FOUR_STREAMS

// func gatherTwoLanes(dst, src *float64, n, a, b int, qa, la, qb, lb float64)
TEXT ·gatherTwoLanes(SB), NOSPLIT, $0-72
	MOVQ dst+0(FP), DI
	MOVQ src+8(FP), SI
	MOVQ n+16(FP), R8
	MOVQ a+24(FP), R9
	MOVQ b+32(FP), R10
	VBROADCASTSD qa+40(FP), Y1
	VBROADCASTSD la+48(FP), Y2
	VBROADCASTSD qb+56(FP), Y3
	VBROADCASTSD lb+64(FP), Y4
	EACH_FOUR_STREAMS
	VMOVUPD (SI)(CX*1), Y6
	VMOVUPD (SI)(BX*1), Y8
	VMULPD  (SI)(AX*1), Y1, Y5
	VMULPD  (SI)(DX*1), Y1, Y7
	VMULPD  Y6, Y2, Y9
	VMULPD  Y8, Y2, Y10
	VADDPD  Y9, Y5, Y5
	VADDPD  Y10, Y7, Y7
	VMULPD  Y7, Y4, Y9
	VMULPD  Y8, Y4, Y10
	VMULPD  Y5, Y3, Y5
	VMULPD  Y6, Y3, Y6
	VADDPD  Y9, Y5, Y5
	VADDPD  Y10, Y6, Y6
	NEXT_FOUR_STREAMS
